// Package drill is exercises with worked answers, and what is remembered of how they went.
//
// An exercise is made from a topic, a level and a seed, and the same three always make the same exercise. It says what is given and
// what is asked, which answers are right and within what, how the answer is worked out step by step, and by which mistakes it is
// commonly missed. Mark reads an answer in the forms that a pilot says it and tells which of these it was. Progress is folded from
// attempts; Next chooses what to ask from it, the time and a seed. Live is the bearing-change check as it happens, with a needle that
// moves.
//
// It knows no clock, file, terminal or source of chance, and nothing of plans. Its answers are computed by the packages earth, air,
// deadreckon, radio and fuel from the figures as they are printed in the question: nothing is reckoned here that is reckoned there.
//
// Units and signs are those of these packages: nautical miles, knots, feet, minutes, degrees; right, east and headwind are positive;
// a time of day is in minutes from 0000 UTC.
//
// Tolerances. In the head (level 1) figures come out even and the answer has to. By circular slide rule a product is good to 2 % (a
// setting and a reading of about 1 in 100 each), the wind side to 2° and 2 kt: as far as the published answers of question banks
// lie from the exact ones. Where a rule of thumb is taught both its figure and the exact one are right.
//
// What is repeated is a task of a topic at a level, by the rests and the ease of SM-2; the topics are led through in the order of the course.
package drill
