package reading

import (
	"cmp"
	"path"
	"slices"

	"voltwright/internal/journal"
	"voltwright/internal/notes"
	"voltwright/internal/site/address"
	"voltwright/internal/site/frame"
)

// Kind is a kind of page.
type Kind struct {
	Name   string  // of the kind and, with .html behind it, of its template
	Words  string  // what who searches is told that a page of it is
	Weight float64 // of what is found on it, for the search; on the page of a run it is 1
	First  bool    // among equals the search names a page of it first
	Of     Of
	Pages  func(rd *Reader, at journal.Place) []Page // those of what it is asked for, in their order
}

// Of is what a kind is asked for its pages of: once of the journal, else once of each vehicle, version or run.
type Of int

// What pages are of, the whole before its parts.
const (
	OfJournal Of = iota
	OfVehicle
	OfVersion
	OfRun
)

// Page is one page of a kind. Its links are paths of the site.
type Page struct {
	At            string
	Note          *notes.Note // that the page is made from, nil where it is made from none
	Title         string
	Trail         []frame.Link // from below the front page to this one
	Before, After *frame.Link
	Lay           func(s *frame.Sheet) error // fills the sheet
}

// Plan is one page to be made.
type Plan struct {
	Kind  *Kind
	Sheet *frame.Sheet
	Fill  func(s *frame.Sheet) error
}

// PlanAll lists the pages in reading order, which is that of the kinds; kinds of a part of the journal that stand together are
// asked together, part by part.
func (rd *Reader) PlanAll(kinds []Kind) { rd.plan(kinds, OfJournal, journal.Place{}) }

func (rd *Reader) plan(kinds []Kind, of Of, at journal.Place) {
	for len(kinds) > 0 {
		if k := &kinds[0]; k.Of == of {
			for _, p := range k.Pages(rd, at) {
				rd.add(k, p, at)
			}
			kinds = kinds[1:]
			continue
		}
		together := slices.IndexFunc(kinds, func(k Kind) bool { return k.Of == of })
		if together < 0 {
			together = len(kinds)
		}
		for _, part := range rd.parts(of, at) {
			rd.plan(kinds[:together], of+1, part)
		}
		kinds = kinds[together:]
	}
}

// parts are the vehicles of the journal, the versions of a vehicle or the runs of a version.
func (rd *Reader) parts(of Of, at journal.Place) []journal.Place {
	var out []journal.Place
	switch of {
	case OfJournal:
		for _, v := range rd.Journal.Vehicles {
			out = append(out, journal.Place{Vehicle: v})
		}
	case OfVehicle:
		for _, v := range at.Vehicle.Versions {
			out = append(out, v.Place())
		}
	case OfVersion:
		for _, r := range at.Version.Runs {
			out = append(out, r.Place())
		}
	}
	return out
}

// add plans a page.
func (rd *Reader) add(k *Kind, p Page, of journal.Place) {
	s := &frame.Sheet{Path: p.At, Title: cmp.Or(p.Title, path.Dir(p.At)), HeldBack: of.HeldBack()}
	if p.Note != nil {
		if of, ok := rd.Journal.PlaceOf(p.Note.Path); ok {
			s.HeldBack, s.Subjects = of.HeldBack(), rd.subjectsOf(s, of)
		}
		s.Note = p.Note.Path
		rd.PageOf[p.Note.Path] = p.At
	}
	s.Trail = append([]frame.Link{{Words: cmp.Or(rd.Journal.Title.Text, "Journal"), Href: address.Front}}, p.Trail...)
	for i := range s.Trail {
		s.Trail[i].Href = s.To(s.Trail[i].Href)
	}
	s.Trail[len(s.Trail)-1].Href = "" // the page itself
	s.Before, s.After = s.Leading(p.Before), s.Leading(p.After)
	rd.Plans = append(rd.Plans, Plan{k, s, p.Lay})
}

// Alone is the one page of a kind that is made from no note: its title is also its words in the trail, unless short has others.
func Alone(at, title, short string, lay func(s *frame.Sheet) error) []Page {
	return []Page{{At: at, Title: title, Trail: []frame.Link{{Words: cmp.Or(short, title), Href: at}}, Lay: lay}}
}

// Beside are the links to what stands before and after a thing among all of its kind, nil at the ends.
func Beside[T comparable](all []T, this T, to func(T) frame.Link, before, after string) (b, a *frame.Link) {
	at := func(i int, note string) *frame.Link {
		if i < 0 || i >= len(all) {
			return nil
		}
		l := to(all[i])
		l.Note = note
		return &l
	}
	i := slices.Index(all, this)
	return at(i-1, before), at(i+1, after)
}

// VehicleTrail leads to a vehicle's page; VersionTrail on to a version's.
func VehicleTrail(v *journal.Vehicle) []frame.Link {
	return []frame.Link{{Words: v.Name.Text, Href: address.Vehicle(v)}}
}

// VersionTrail leads by its vehicle's page to a version's.
func VersionTrail(v *journal.Version) []frame.Link {
	return append(VehicleTrail(v.Vehicle), frame.Link{Words: "Version " + VersionNumber(v), Href: address.Version(v)})
}
