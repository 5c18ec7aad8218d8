// Package fuel reckons with fuel: tanks, burn, changeover schedule, reserves.
//
// It knows nothing of plans, files, legs or times of day. Minutes count from a zero of the caller's; quantities are in the
// one unit of the aircraft, flows in that unit per hour, masses in kilograms. An imbalance is the difference of the
// quantities in two tanks, never negative.
//
// # What a schedule keeps
//
// One tank feeds the engine at a time. [Plan] finds the schedule that, in this order,
//
//  1. keeps the rules: no tank is fed below its unusable quantity, no change is made where none is allowed, no pair of
//     tanks goes above the imbalance limit, no tank is in use for longer than the longest time, and at least
//     [ShortestStayMinutes] lie between two changes;
//  2. brings a pair that is above the limit at the start back to it before anything else is fed, where that can be;
//  3. lands on a tank that holds the landing reserve, by the planned burn, where that can be;
//  4. can feed the engine for the extra burn too, where the fuel and the rules allow it;
//  5. has the fewest changes;
//  6. lands on the fullest tank, the one with the most usable fuel;
//  7. has the lowest highest imbalance, by the planned burn from now to landing, if there is a limit;
//  8. changes late rather than early, the first change before the second and so on: what is found out before a change can
//     still alter it. With more than two tanks it is the sum of the times that is largest. Of two tanks to start on that
//     are as good, it is the fuller.
//
// The imbalance limit is kept by the planned and by the extra burn. The extra burn is one factor on all flows
// from minute 0 on, with the times of the changes as they are: a flow that is wrong is wrong all the way. The imbalance at
// any time is linear in that factor, so that keeping the limit at both ends keeps it between them. When a flight is planned
// again on the way the factor counts from there, and a schedule that went to the very limit may then need one more change.
//
// A tank can't be burned below what is unusable in it. Where the fuel doesn't last for the extra burn, as much of it counts as
// each tank holds: a schedule isn't to have one more change for fuel that isn't there. What the limit comes to for burns
// between the two isn't looked into then.
//
// A pair that is above the limit at the start has its fuller tank fed, never the other, until it is within the
// limit: its imbalance never rises meanwhile, and [Schedule] says so. So has a pair that is brought above it, which is a
// broken rule, because no change is allowed at first.
//
// An imbalance limit that can't be kept gives way at the last change and on landing only, where that is enough: what is burned after the
// last change is most often the cause, and no leave to go as far all the way.
//
// If not all rules can be kept, they give way in the order longest time, imbalance, no change, usable fuel, each by no more
// than it must (an imbalance that was above the limit at the start excepted, for which there is no one measure of least),
// and Plan returns a [Broken] beside the schedule. If the fuel doesn't last, the schedule is for as far as it does.
//
// # Two tanks
//
// These are solved exactly. Let B be the planned burn since minute 0, and the shift S the part of it fed by the second tank
// less the part fed by the first. With the difference D of the quantities at the start (first less second) the imbalance at
// k times the planned burn is |D+kS|, so the limit L is a band for S that doesn't change with time:
//
//	max over k of (−L−D)/k  ≤  S  ≤  min over k of (L−D)/k,   k = 1 and 1 + extra
//
// Where the extra burn may run a tank dry, the band is that of the planned burn, and for the extra burn it is the union of up to
// four convex sets of B and S (see asFarAsItGoes); the rest holds for each of them. The imbalance goes one way while a tank is fed, dry
// or not.
//
// The usable fuel and the landing reserve are limits on S at landing, where the tanks have fed (B−S)/2 and (B+S)/2. Between
// changes S goes up or down with B, so it need only be in the band at each change and at landing.
//
// A change is a point of time and shift. Let R(n) be the set of points at which a change can be made with n still to come,
// that one included, and everything kept from there on. While a tank is fed, S ∓ B stays the same. In the coordinates
// (time, S ∓ B) the points from which some point of R(n) can be reached are therefore R(n) drawn out along the time axis,
// from the shortest to the longest stay; clipped to the times at which changes are allowed, within each of which the flow is
// constant and B linear in time, and to the band, they are R(n+1). Every R(n) is a union of convex polygons, and every step
// keeps them so. A polygon inside another with as few changes to come is dropped. The fewest changes are the first n for
// which R(n) meets the line on which the start lies. The lowest highest imbalance is that of swings from one edge of the band
// to the other, where they can be flown, and is else found by halving the band; the times are found by walking forward, each
// change at the latest time at which the line of its feed leaves the next R.
//
// # More tanks
//
// Changes fall on a grid: steps of equal planned burn, from the first time that a change is allowed, as long as 1, 2, 3, 5, 6,
// 10, 15, 20, 30 or 60 minutes take at the flow at which most is burned; the smallest for which the grid has no more than about a
// million states (with four tanks and five hours, 5 minutes; a sixteenth of that while it is found out which rules can't
// be kept). A state is how many steps each tank has fed and which tank has just been changed to. On that grid the schedule
// is exact: states are searched in the order of changes made and at least still needed. At most 8 tanks.
//
// # Limits
//
// Figures that differ by less than a millionth of a minute or of a unit count as the same. A schedule has 60 changes at most.
// Reckoning is with flows as planned; what a gauge or flow meter says is for the caller to put into the next request, with
// [CheckGauge] and [FitBurn].
//
// # Sources
//
// Reserves: 14 CFR 91.151; ICAO Annex 6 Part II 2.2.3.6. Units: the definitions of the international pound, the US and the
// imperial gallon. Density of aviation gasoline: 0.72 kg/l at 15 °C and 0.0007 kg/l per °C, figures of training practice.
// That tanks should be changed often enough to stay within a limit, and not near the ground, is common practice, no source.
package fuel
