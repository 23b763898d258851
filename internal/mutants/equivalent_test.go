//go:build mutate

package mutants

// equivalent are changes that change nothing that could be told, each with why. A change is named by the beginning of
// what it is called.
var equivalent = []struct{ mutant, why string }{}
