// Package casting is a bed as it was cast and what is bolted to it: sections, drawn or by their constants, ribs, weights and
// ways. It says what ribs weigh and stiffen, how much the iron gives over a foot and how sure the twist is.
//
// Letters and signs are those of package beam, which stands it on feet.
package casting
