// Package notes reads a journal's folder as it is written: files, front matter
// and Markdown, each with its place, and nothing of what it means. It knows
// quantities and words, not packs or runs, and no physics.
//
// It promises that every byte it reports on is inside the file, that nothing
// outside the folder is read (symbolic links and `..` included), that no file
// is dropped without a finding, and that bad input gives findings, all in one
// go, and never a panic.
//
// What it cannot catch: text that YAML itself takes away, such as a name that
// goes on after ` #`, and a file that changes while it is read.
package notes
