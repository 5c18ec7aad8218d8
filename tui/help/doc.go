// Package help is the screen that names every key and every act that can be typed, made from the bindings and the forms
// themselves: the keys of the screen it was called from first, in as many columns as have room, page by page. A key that can't be used now is not
// there. In the same pages it shows the papers: what was written down, the remarks of the plan, the list before departure, the cards.
package help
