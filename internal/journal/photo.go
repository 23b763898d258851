package journal

import (
	"fmt"
	"net/url"
	"path"
	"slices"
	"strconv"
	"strings"

	"voltwright/internal/finding"
	"voltwright/internal/notes"
)

// Photo is a picture that a note shows beside its text: the one that it opens with, or one of its gallery.
type Photo struct {
	File    notes.Word `key:"photo,required"` // from the note's own folder
	Alt     notes.Word `key:"alt,required"`   // what is seen, for who does not see it
	Caption notes.Line `key:"caption"`
	Film    notes.Word `key:"film"` // address of a film elsewhere, of which this is a still

	Path string       // inside the journal, "" where the file cannot be used
	Span finding.Span `key:"@"`
}

// PhotoMark is a place on the photo that a note opens with: a part of the wiring, or a few words.
type PhotoMark struct {
	At   Spot       `key:"at,required"`
	Part notes.Word `key:"part"`
	Text notes.Word `key:"text"`

	Span finding.Span `key:"@"`
}

// Spot is a place on a picture, in hundredths of its width from the left and of its height from the top.
type Spot struct {
	X, Y float64 // 0 to 100
	Set  bool
	Span finding.Span
}

// DecodeNode reads two percentages with a space between.
func (s *Spot) DecodeNode(n *notes.Node, d *notes.Decoder) {
	const want = "how far from the left and from the top, such as 46 % 30 %"
	text, ok := d.Words(n, want)
	if !ok {
		return
	}
	var at []float64
	for _, part := range strings.Split(strings.TrimSuffix(strings.TrimSpace(text), "%"), "%") {
		x, err := strconv.ParseFloat(strings.TrimSpace(part), 64)
		if err != nil || !(x >= 0 && x <= 100) {
			at = nil
			break
		}
		at = append(at, x)
	}
	if len(at) != 2 || !strings.HasSuffix(strings.TrimSpace(text), "%") {
		d.Report(RulePhotoMark, n.Span, "`at`: `"+text+"` is no place on a photo", "write "+want+", each from 0 to 100 %.")
		return
	}
	*s = Spot{X: at[0], Y: at[1], Set: true, Span: n.Span}
}

// Shown is what a note shows beside its text.
type Shown struct {
	Lead    *Photo // nil: it opens with none
	Gallery []Photo
	Marks   []PhotoMark // on the lead
}

// Shown is what the note of the place shows beside its text.
func (p Place) Shown() Shown {
	switch {
	case p.Page != nil:
		return Shown{p.Page.Lead, p.Page.Gallery, p.Page.Marks}
	case p.Run != nil:
		return Shown{p.Run.Lead, p.Run.Gallery, p.Run.Marks}
	case p.Version != nil:
		return Shown{p.Version.Lead, p.Version.Gallery, p.Version.Marks}
	case p.Vehicle != nil:
		return Shown{p.Vehicle.Lead, p.Vehicle.Gallery, p.Vehicle.Marks}
	}
	return Shown{}
}

// Photos are the photos, the lead first. What is changed in them is changed in the note.
func (s Shown) Photos() []*Photo {
	var out []*Photo
	if s.Lead != nil {
		out = append(out, s.Lead)
	}
	for i := range s.Gallery {
		out = append(out, &s.Gallery[i])
	}
	return out
}

// Standing is the version that stands for a vehicle now: the last that runs, else the last that was retired, else the last; nil
// where there is none.
func (v *Vehicle) Standing() *Version {
	for _, state := range []State{Running, Retired} {
		for _, version := range slices.Backward(v.Versions) {
			if version.State.Value == state {
				return version
			}
		}
	}
	if len(v.Versions) == 0 {
		return nil
	}
	return v.Versions[len(v.Versions)-1]
}

// Marked is the version whose parts marks at the place name: its own, that of a run, the one that stands for a vehicle; nil for notes,
// questions and corrections.
func (p Place) Marked() *Version {
	if p.Version == nil && p.Vehicle != nil {
		return p.Vehicle.Standing()
	}
	return p.Version
}

// photos looks at the pictures that the front matter names, and at their marks.
func (l *loader) photos(p Place) {
	shown := p.Shown()
	for _, photo := range shown.Photos() {
		l.photo(p.note(), photo)
	}
	for i := range shown.Marks {
		if m := &shown.Marks[i]; shown.Lead == nil {
			l.add(finding.Error, RulePhotoMark, m.Span, "a mark, and the note opens with no photo for it to be on", "name the photo under `lead`, or take the mark out.")
		} else {
			l.mark(p, m)
		}
	}
}

func (l *loader) photo(n *notes.Note, photo *Photo) {
	if photo.File.Set {
		file, err := notes.Clean(path.Dir(n.Path), photo.File.Text)
		if l.available(photo.File.Text, file, err != nil, photo.File.Span, RuleMissingPicture) && l.shows(file, photo.File.Text, photo.File.Span) {
			photo.Path = file
			l.use(file, Picture, photo.File.Span)
		}
	}
	if u, err := url.Parse(photo.Film.Text); photo.Film.Set && (err != nil || u.Scheme != "https" && u.Scheme != "http" || u.Host == "") {
		l.add(finding.Error, RuleMalformedWord, photo.Film.Span, fmt.Sprintf("`film`: `%s` is no address", photo.Film.Text), "write where the film stands, such as https://example.org/the-open-day.")
	}
}

// newForms are endings of pictures that the program does not read: what they may hold besides their pixels cannot be told.
var newForms = []string{".heic", ".heif", ".avif", ".jxl", ".tif", ".tiff", ".dng", ".raw", ".bmp"}

// clips are endings of films.
var clips = []string{".mp4", ".mov", ".m4v", ".webm", ".mkv", ".avi", ".3gp", ".ogv", ".mpg", ".mpeg"}

// shows tells whether a file that is there can be shown as a picture; where it cannot, it reports so.
func (l *loader) shows(file, written string, at finding.Span) bool {
	ending := strings.ToLower(path.Ext(file))
	switch {
	case ending == ".svg":
		l.add(finding.Error, RuleMissingPicture, at, fmt.Sprintf("`%s` is a drawing in SVG, which can carry a program and is not shown", written), "save it as PNG, and show that.")
	case slices.Contains(newForms, ending):
		l.add(finding.Error, RuleMissingPicture, at, fmt.Sprintf("`%s` is a photo of the form %s, which is not read", written, strings.ToUpper(ending[1:])),
			"save it as JPEG, and name that: photo programs call it export or save as; many telephones have a setting that takes JPEG from the start.")
	case slices.Contains(clips, ending):
		l.add(finding.Error, RuleMissingPicture, at, fmt.Sprintf("`%s` is a film, which cannot be cleaned of where and by whom it was made", written),
			"show a still of it as JPEG, and write under `film` where the film itself stands.")
	case !notes.IsPicture(file):
		l.add(finding.Error, RuleMissingPicture, at, fmt.Sprintf("`%s` is no picture that a page can show", written), "use a JPEG, PNG, GIF or WebP file.")
	default:
		return true
	}
	l.meant = append(l.meant, file)
	return false
}

// mark looks at what a mark names.
func (l *loader) mark(p Place, m *PhotoMark) {
	wrong := func(at finding.Span, text, remedy string) { l.add(finding.Error, RulePhotoMark, at, text, remedy) }
	switch {
	case m.Part.Set == m.Text.Set:
		wrong(m.Span, "a mark says `part` or `text`, one of the two", "write under `part` what the wiring calls it, or under `text` a few words.")
	case m.Text.Set:
	case p.Marked() == nil || p.Marked().Wiring == nil:
		wrong(m.Part.Span, "`part`: there is no wiring here whose parts could be marked", "write under `text` what it is, or state the wiring of the version.")
	default:
		names := p.Marked().Wiring.PartNames()
		if !slices.ContainsFunc(names, func(name string) bool { return PartKey(name) == PartKey(m.Part.Text) }) {
			wrong(m.Part.Span, fmt.Sprintf("`part`: the wiring of %s has no part `%s`%s", p.Marked().Path(), m.Part.Text, notes.DidYouMean(m.Part.Text, names)), "write a part as the wiring names it, or under `text` a few words.")
		}
	}
}

// PartNames are the names of the wiring's parts, in its order.
func (w *Wiring) PartNames() []string {
	var out []string
	for i := range w.Parts {
		if w.Parts[i].Name.Set {
			out = append(out, w.Parts[i].Name.Text)
		}
	}
	return out
}

// PartNumber is the number of a part of the wiring: its place among them, from 1, which it has on the drawing and on the photo; 0 where there is none
// of that name.
func (v *Version) PartNumber(name string) int {
	if v == nil || v.Wiring == nil {
		return 0
	}
	for i, other := range v.Wiring.PartNames() {
		if PartKey(other) == PartKey(name) {
			return i + 1
		}
	}
	return 0
}

// OnPhoto is the number of a part that is marked on the photo of the version's own page; 0 where it is not.
func (v *Version) OnPhoto(name string) int {
	if v.Lead == nil || v.Lead.Path == "" {
		return 0
	}
	for i := range v.Marks {
		if m := &v.Marks[i]; m.At.Set && m.Part.Set && PartKey(m.Part.Text) == PartKey(name) {
			return v.PartNumber(name)
		}
	}
	return 0
}
