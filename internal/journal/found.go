package journal

import (
	"voltwright/internal/finding"
	"voltwright/internal/notes"
	"voltwright/internal/quantity"
)

// FoundWord says what was found wrong with a thing, or where it comes from.
type FoundWord string

// What a thing may be found to be.
const (
	Swollen      FoundWord = "swollen"
	SecondHand   FoundWord = "second-hand"
	Repaired     FoundWord = "repaired"
	CrashDamaged FoundWord = "crash-damaged"
	Soldered     FoundWord = "soldered"
	UnknownMake  FoundWord = "unknown-make"
	FoundWet     FoundWord = "wet"
	FoundHot     FoundWord = "hot"
	FoundLoose   FoundWord = "loose"
	Corroded     FoundWord = "corroded"
	Worn         FoundWord = "worn"
)

// Options lists the words.
func (FoundWord) Options() []notes.Option {
	return []notes.Option{
		{Name: string(Swollen), Meaning: "bulging, or no longer of its shape"},
		{Name: string(SecondHand), Meaning: "used before by somebody else, or taken out of something"},
		{Name: string(Repaired), Meaning: "opened and mended, or made up from other ones"},
		{Name: string(CrashDamaged), Meaning: "fell, was hit, crushed or pierced"},
		{Name: string(Soldered), Meaning: "soldered where a crimp or a weld belongs"},
		{Name: string(UnknownMake), Meaning: "without a maker's name, or without a data sheet of that maker"},
		{Name: string(FoundWet), Meaning: "got wet inside, or stood in water"},
		{Name: string(FoundHot), Meaning: "too hot to keep a hand on, browned, melted or smelling"},
		{Name: string(FoundLoose), Meaning: "moves where it should not: a screw, a plug, a mount, a wheel"},
		{Name: string(Corroded), Meaning: "green, white or rusty at its contacts, or eaten away"},
		{Name: string(Worn), Meaning: "chafed, cracked, or worn through"},
	}
}

// Found is what a thing was found to be, in the order in which it is written.
type Found []notes.Choice[FoundWord]

// Is gives where a word stands; false where it does not.
func (f Found) Is(word FoundWord) (finding.Span, bool) {
	for _, w := range f {
		if w.Set && w.Value == word {
			return w.Span, true
		}
	}
	return finding.Span{}, false
}

// Used is what was measured of cells that are not new: of the whole pack.
type Used struct {
	Label         notes.Value[quantity.AmpereHours] `key:"label"`          // capacity when new
	Capacity      notes.Value[quantity.AmpereHours] `key:"capacity"`       // as measured
	NewResistance notes.Value[quantity.Ohms]        `key:"new-resistance"` // when new, by the data sheet
	Resistance    notes.Value[quantity.Ohms]        `key:"resistance"`     // as measured
	Loses         notes.Value[quantity.Fraction]    `key:"loses"`          // of its charge in a month at rest

	Span finding.Span `key:"@"`
}
