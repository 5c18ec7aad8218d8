// Package screentest makes Snapshots for tests of the screens: five moments of one invented flight, complete to the last
// field, and harsh variations of them. The figures hang together but nothing was computed: they test what is drawn, not what is
// reckoned.
package screentest
