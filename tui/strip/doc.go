// Package strip builds one row of a screen out of texts that stand at columns of their own: signs on an axis, labels under a
// beam, names along a route.
//
// It knows nothing of what the texts mean. A text is placed only where its cells are free, so that nothing is drawn over
// something else; the caller decides what gives way. Texts from users go through frame.Clean first.
package strip
