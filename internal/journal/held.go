package journal

import (
	"path"
	"slices"
	"strings"

	"voltwright/internal/notes"
)

// HeldBack says whether a place is held back: by its own note, or with the vehicle or the version that it belongs to.
func (p Place) HeldBack() bool {
	switch {
	case p.Page != nil:
		return p.Page.Held.Value
	case p.Vehicle == nil:
		return false
	}
	return p.Vehicle.Held.Value || p.Version != nil && p.Version.Held.Value || p.Run != nil && p.Run.Held.Value
}

// Withheld is what of a journal is not put online: notes, and files that no other note uses, by their paths and in their order.
type Withheld struct{ Notes, Files []string }

// None says that nothing is.
func (w Withheld) None() bool { return len(w.Notes) == 0 }

// Has says whether a file is among it.
func (w Withheld) Has(file string) bool {
	_, note := slices.BinarySearch(w.Notes, file)
	_, other := slices.BinarySearch(w.Files, file)
	return note || other
}

// All are the notes and the files.
func (w Withheld) All() []string { return slices.Concat(w.Notes, w.Files) }

// HeldBack lists what the journal holds back. What lies in the folder of a vehicle or a version that is held back goes with it, unless
// a note that is not uses it.
func (j *Journal) HeldBack() Withheld {
	var out Withheld
	var folders []string
	held := map[string]bool{}
	for _, p := range j.Places() {
		if !p.HeldBack() {
			continue
		}
		file := p.note().Path
		held[file] = true
		if p.Page == nil && p.Run == nil {
			folders = append(folders, path.Dir(file)+"/")
		}
	}
	if len(held) == 0 {
		return out
	}
	for _, f := range j.Folder.Files() {
		file := f.Path
		within := slices.ContainsFunc(folders, func(folder string) bool { return strings.HasPrefix(file, folder) })
		users := j.users[file]
		switch {
		case path.Ext(file) == ".md":
			if held[file] || within {
				out.Notes = append(out.Notes, file)
			}
		case slices.ContainsFunc(users, func(user string) bool { return user != file && !held[user] }):
		case within || len(users) > 0 && held[users[0]]:
			out.Files = append(out.Files, file)
		}
	}
	slices.Sort(out.Notes)
	slices.Sort(out.Files)
	return out
}

// Named are the notes among what is withheld that the words of a note lead to: by the file's name, or by a version's folder.
func (w Withheld) Named(words string) (note string, ok bool) {
	parts := strings.FieldsFunc(strings.ReplaceAll(words, ".md", ""), func(r rune) bool {
		return r != '-' && (r < 'a' || r > 'z') && (r < '0' || r > '9')
	})
	i := slices.IndexFunc(w.Notes, func(file string) bool {
		name := path.Base(strings.TrimSuffix(file, ".md"))
		if name == KindVehicle || name == KindVersion {
			name = path.Base(path.Dir(file))
		}
		return slices.Contains(parts, name)
	})
	if i < 0 {
		return "", false
	}
	return w.Notes[i], true
}

// leading are the rules that speak of what a note leads to, where it is not there.
var leading = []string{RuleBrokenLink, RuleUnknownTarget, RuleFollows, RuleLike, RuleBears, RuleTakenBack, notes.RuleUnreadable}

// LeadsAway tells whether a rule speaks of what a note leads to, where it is not there.
func LeadsAway(rule string) bool { return slices.Contains(leading, rule) }
