// Package journal resolves a folder of notes into one typed whole: vehicles,
// versions, runs and notes, in which every value remembers where it was
// written. It judges what can be judged without computing: names, places,
// values that cannot be, links and embeds that lead nowhere.
//
// It promises that everything in the folder is either used or reported, and
// that all of it is reported in one go. What it cannot catch is a value that is
// wrong and plausible.
package journal
