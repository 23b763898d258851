// Package schema writes the front matter of a journal's notes down as a JSON
// Schema (draft 2020-12, json-schema.org), for an editor that completes keys and
// marks slips while a note is being written.
//
// It has no list of keys of its own. Keys, texts, examples and words come from
// journal.Fronts, which walks the types that notes are decoded into, and the
// patterns of values from package quantity, which makes them from its table of
// units; so what the decoder learns, the schema says.
//
// It never refuses what the program accepts, as long as the editor reads YAML
// 1.2 (in 1.1, 7:30 is a number and no a truth). It cannot see everything that
// inspection sees: whether a name leads anywhere, a day is in the calendar, a
// value is possible, a key stands twice.
package schema
