package journal

import (
	"path"
	"slices"
	"strings"

	"voltwright/internal/notes"
)

// Place is where in the journal a note's text stands; what is inside what is
// filled from the left.
type Place struct {
	Vehicle *Vehicle
	Version *Version
	Run     *Run
	Page    *NotePage
}

// Place is the place of a vehicle's own note.
func (v *Vehicle) Place() Place { return Place{Vehicle: v} }

// Place is the place of a version's note.
func (v *Version) Place() Place { return Place{Vehicle: v.Vehicle, Version: v} }

// Place is the place of a run's note.
func (r *Run) Place() Place {
	return Place{Vehicle: r.Version.Vehicle, Version: r.Version, Run: r}
}

// Address is the place's path on the site, with a slash at its end:
// "shunter/2-lifepo4/". The front page is "".
func (p Place) Address() string {
	switch {
	case p.Page != nil:
		return path.Dir(p.Page.Note.Path) + "/" + p.Page.Slug + "/"
	case p.Run != nil:
		return string(p.Run.ID()) + "/"
	case p.Version != nil:
		return p.Version.Path() + "/"
	case p.Vehicle != nil:
		return p.Vehicle.Slug + "/"
	default:
		return ""
	}
}

// Document is the vehicle's story. Who hears what is read of the folder hears of it, as of the texts below.
func (v *Vehicle) Document() *notes.Document { return told(v.Note, v.document) }

// Document is the version's story.
func (v *Version) Document() *notes.Document { return told(v.Note, v.document) }

// Document is the run's remarks.
func (r *Run) Document() *notes.Document { return told(r.Note, r.document) }

// Document is the text of the page.
func (p *NotePage) Document() *notes.Document { return told(p.Note, p.document) }

// told hands a document on, and tells who hears of it.
func told(n *notes.Note, d *notes.Document) *notes.Document {
	if n != nil {
		n.Tell()
	}
	return d
}

// Document is the text that stands at the place; nil on the front page.
func (p Place) Document() *notes.Document {
	switch {
	case p.Page != nil:
		return p.Page.Document()
	case p.Run != nil:
		return p.Run.Document()
	case p.Version != nil:
		return p.Version.Document()
	case p.Vehicle != nil:
		return p.Vehicle.Document()
	default:
		return nil
	}
}

// Places lists every place that has a text: vehicles, each with its versions
// and their runs, then notes, questions and corrections.
func (j *Journal) Places() []Place {
	var out []Place
	for _, v := range j.Vehicles {
		out = append(out, v.Place())
		for _, version := range v.Versions {
			out = append(out, version.Place())
			for _, r := range version.Runs {
				out = append(out, r.Place())
			}
		}
	}
	for _, pages := range [][]*NotePage{j.Notes, j.Questions, j.Corrections} {
		for _, p := range pages {
			out = append(out, Place{Page: p})
		}
	}
	return out
}

// AllNotes are all notes of the journal that could be read, journal.yaml first.
func (j *Journal) AllNotes() []*notes.Note {
	all := []*notes.Note{j.Note}
	for _, p := range j.Places() {
		all = append(all, p.note())
	}
	return slices.DeleteFunc(all, func(n *notes.Note) bool { return n == nil })
}

// note is the note of a place that has a text.
func (p Place) note() *notes.Note {
	switch {
	case p.Page != nil:
		return p.Page.Note
	case p.Run != nil:
		return p.Run.Note
	case p.Version != nil:
		return p.Version.Note
	}
	return p.Vehicle.Note
}

// PlaceOf finds the place of a note by its file's path inside the journal, or
// by its folder's: "shunter/2-lifepo4/version.md" and "shunter/2-lifepo4". The
// front page has an empty place.
func (j *Journal) PlaceOf(file string) (Place, bool) {
	if file == notes.JournalFile || file == "." {
		return Place{}, true
	}
	var pages []*NotePage
	switch folder, name := path.Split(file); folder {
	case "notes/":
		pages = j.Notes
	case "questions/":
		pages = j.Questions
	case "corrections/":
		pages = j.Corrections
	default:
		switch {
		case name == "vehicle.md" || name == "version.md":
			name = strings.TrimSuffix(folder, "/")
		case strings.HasSuffix(name, ".md"):
			name = strings.TrimSuffix(file, ".md")
		default:
			name = file
		}
		p, ok := j.place(strings.Split(name, "/"))
		if !ok || p.Document().Note.Path != file && (p.Run != nil || path.Dir(p.Document().Note.Path) != file) {
			return Place{}, false
		}
		return p, true
	}
	for _, p := range pages {
		if p.Note.Path == file {
			return Place{Page: p}, true
		}
	}
	return Place{}, false
}

// place finds the place with the address VEHICLE, VEHICLE/VERSION or
// VEHICLE/VERSION/RUN.
func (j *Journal) place(parts []string) (Place, bool) {
	for _, v := range j.Vehicles {
		if v.Slug == parts[0] {
			return v.place(parts[1:])
		}
	}
	return Place{}, false
}

func (v *Vehicle) place(parts []string) (Place, bool) {
	if len(parts) == 0 {
		return v.Place(), true
	}
	for _, version := range v.Versions {
		if version.Slug == parts[0] {
			return version.place(parts[1:])
		}
	}
	return Place{}, false
}

func (v *Version) place(parts []string) (Place, bool) {
	if len(parts) == 0 {
		return v.Place(), true
	}
	for _, r := range v.Runs {
		if r.Slug == parts[0] && len(parts) == 1 {
			return r.Place(), true
		}
	}
	return Place{}, false
}

// Run finds a run.
func (j *Journal) Run(id RunID) (*Run, bool) {
	p, ok := j.place(strings.Split(string(id), "/"))
	return p.Run, ok && p.Run != nil
}

// Runs lists all runs, by vehicle, version and date.
func (j *Journal) Runs() []*Run {
	var out []*Run
	for _, v := range j.Vehicles {
		for _, version := range v.Versions {
			out = append(out, version.Runs...)
		}
	}
	return out
}

// Heading is the name or the title of what stands at the place.
func (p Place) Heading() notes.Line {
	switch {
	case p.Page != nil:
		return p.Page.Title
	case p.Run != nil:
		return p.Run.Name
	case p.Version != nil:
		return p.Version.Name
	case p.Vehicle != nil:
		return p.Vehicle.Name
	default:
		return notes.Line{}
	}
}

// Summary is the line that says of the place what matters.
func (p Place) Summary() notes.Line {
	switch {
	case p.Page != nil:
		return p.Page.Summary
	case p.Run != nil:
		return p.Run.Summary
	case p.Version != nil:
		return p.Version.Summary
	case p.Vehicle != nil:
		return p.Vehicle.Summary
	default:
		return notes.Line{}
	}
}

// Lines are the lines of the note's front matter in which numbers can be bound, those that are written.
func (p Place) Lines() []notes.Line {
	out := []notes.Line{p.Heading(), p.Summary()}
	var answers []Answer
	switch {
	case p.Page != nil && p.Page.Correction != nil:
		out = append(out, p.Page.Correction.Found)
	case p.Run != nil:
		out, answers = append(out, p.Run.Ended), p.Run.Answers
	case p.Version != nil:
		answers = p.Version.Answers
	}
	for _, a := range answers {
		out = append(out, a.Reason)
	}
	for _, photo := range p.Shown().Photos() {
		out = append(out, photo.Caption)
	}
	return slices.DeleteFunc(out, func(l notes.Line) bool { return !l.Set })
}

// Bound is all that is bound at the place, in the order written: in the lines of the front matter, then in the text.
func (p Place) Bound() []*notes.Embed {
	var out []*notes.Embed
	for _, line := range p.Lines() {
		for _, part := range line.Parts {
			if part.Embed != nil {
				out = append(out, part.Embed)
			}
		}
	}
	if document := p.Document(); document != nil {
		out = append(out, document.Embeds...)
	}
	return out
}
