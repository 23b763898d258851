package app

import (
	"fmt"

	"voltwright/internal/finding"
	"voltwright/internal/journal"
	"voltwright/internal/notes"
)

const ruleLeadsToHeld = "leads-to-held-back"

var heldDoc = finding.Doc{
	Kind: finding.RuleDoc, Name: ruleLeadsToHeld, Level: finding.Error,
	Title:   "A published note that leads to one held back",
	What:    "Links, bound values, plots, tables and diagrams, and the keys that name a version or a run, of every note that goes online: whether what they lead to goes online as well. A journal is published as if what is held back were not in its folder.",
	Why:     "The page would have a link that leads nowhere, or a number whose evidence nobody can see.",
	Example: "  held-back: yes",
}

// readOnline is readFolder of what publish puts online: as if what is held back were not in the folder.
func readOnline(dir string, folder *notes.Folder, m means) *inspected {
	return readWith(dir, folder, m, func(in *inspected) {
		if in.held = in.journal.HeldBack(); !in.held.None() {
			folder.Withhold(in.held.All())
			in.findings = finding.List{}
			in.journal = journal.Load(folder, &in.findings)
		}
	})
}

// sayHeld has what fails because something is held back say so.
func (in *inspected) sayHeld() {
	if in.held.None() {
		return
	}
	all := in.findings.All()
	for i, f := range all {
		if f.Level == finding.Error && f.Signal == "" && journal.LeadsAway(f.Rule) {
			all[i] = heldFinding(in.held, f)
		}
	}
}

// heldFinding is what is to be said where a finding speaks of a note that is held back; else the finding.
func heldFinding(held journal.Withheld, f finding.Finding) finding.Finding {
	note, ok := held.Named(f.Span.Text())
	if !ok {
		return f
	}
	f.Rule, f.Text = ruleLeadsToHeld, fmt.Sprintf("this leads to %s, which is held back and not online", note)
	f.Remedy = "take `held-back` out of that note, or what leads there out of this one; or hold this one back as well."
	return f
}

// addHeld adds what inspection finds in what is held back, of which what goes online knows nothing.
func (in *inspected) addHeld(m means) error {
	if in.held.None() {
		return nil
	}
	in.folder.Withhold(nil)
	defer in.folder.Withhold(in.held.All())
	whole := readFolder(in.dir, in.folder, m)
	if _, err := layOut(whole); err != nil {
		return err
	}
	for _, f := range whole.findings.Sorted() {
		if in.held.Has(f.Span.File()) {
			in.findings.Add(f)
		}
	}
	return nil
}

// toHeld are the findings about notes that lead to what is held back, for a trial print, which has that as well.
func toHeld(in *inspected) []finding.Finding {
	held := in.journal.HeldBack()
	if held.None() {
		return nil
	}
	in.folder.Withhold(held.All())
	defer in.folder.Withhold(nil)
	var list finding.List
	journal.Load(in.folder, &list)
	var out []finding.Finding
	for _, f := range list.Sorted() {
		if f.Level == finding.Error && journal.LeadsAway(f.Rule) {
			if f = heldFinding(held, f); f.Rule == ruleLeadsToHeld {
				out = append(out, f)
			}
		}
	}
	return out
}

// heldCount says how many notes are held back, behind a sentence; "" where none is.
func (in *inspected) heldCount() string {
	if n := len(in.held.Notes); n > 0 {
		return fmt.Sprintf(" Held back: %s.", count(n, "note"))
	}
	return ""
}
