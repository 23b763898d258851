package journal

import (
	"fmt"
	"path"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"voltwright/internal/finding"
	"voltwright/internal/notes"
)

// The kinds of note, as `kind:` says them.
const (
	KindVehicle    = "vehicle"
	KindVersion    = "version"
	KindRun        = "run"
	KindNote       = "note"
	KindQuestion   = "question"
	KindCorrection = "correction"
)

// kindPlace says where a note of each kind lies, in words.
var kindPlace = []struct{ kind, place string }{
	{KindVehicle, "VEHICLE/vehicle.md"},
	{KindVersion, "VEHICLE/NUMBER-NAME/version.md"},
	{KindRun, "VEHICLE/NUMBER-NAME/, beside version.md"},
	{KindNote, "notes/"},
	{KindQuestion, "questions/"},
	{KindCorrection, "corrections/"},
}

func placeOf(kind string) (string, bool) {
	for _, k := range kindPlace {
		if k.kind == kind {
			return k.place, true
		}
	}
	return "", false
}

// pageFolders are the folders at the top that hold no vehicle.
var pageFolders = map[string]string{
	"notes":       KindNote,
	"questions":   KindQuestion,
	"corrections": KindCorrection,
}

// themesFolder holds a journal's own templates, which the site looks for itself.
const themesFolder = "themes"

// reserved are names at the top of the site that no vehicle may have.
var reserved = []string{"notes", "questions", "corrections", "subjects", "themes", "method", "parts", "glossary", "search", "feed", "assets", "data", "404"}

// The names of pages of the site's own beside the runs of a version.
const (
	BenchSheetSlug = "bench-sheet"
	WiringSlug     = "wiring"
	FirstPowerSlug = "first-power"
	AnswersSlug    = "answers"
)

var (
	slugPattern    = regexp.MustCompile(`^[a-z0-9]+(-[a-z0-9]+)*$`)
	versionPattern = regexp.MustCompile(`^([0-9]{1,6})-`)
)

const slugRemedy = "use small letters a to z, digits and single hyphens, such as `%s`."

// plainName makes an allowed name from any.
func plainName(name string) string {
	if out := PlainName(name); out != "" {
		return out
	}
	return "shunter"
}

// PlainName makes the name of a folder or note from any words: small letters a
// to z, digits and single hyphens; "" if nothing is left.
func PlainName(name string) string {
	var b strings.Builder
	for _, r := range strings.ToLower(name) {
		if r >= 'a' && r <= 'z' || r >= '0' && r <= '9' {
			b.WriteRune(r)
		} else {
			b.WriteByte(' ')
		}
	}
	return strings.Join(strings.Fields(b.String()), "-")
}

// arrange sorts the notes by where they lie, and makes the vehicles and
// versions that the folders stand for.
func (l *loader) arrange(list []*notes.Note) {
	byPath := map[string]*notes.Note{}
	for _, n := range list {
		byPath[n.Path] = n
	}
	for _, n := range list {
		parts := strings.Split(n.Path, "/")
		top := parts[0]
		switch {
		case n.Path == notes.JournalFile:
			l.journal.Note = n
		case len(parts) == 1, top == themesFolder:
			l.misplaced(n)
		case pageFolders[top] != "":
			if len(parts) > 2 {
				l.misplaced(n)
				break
			}
			l.page(n, pageFolders[top])
		case len(parts) == 2 && parts[1] == "vehicle.md":
			l.vehicle(top)
		case len(parts) == 3 && parts[2] == "version.md":
			l.version(top, parts[1])
		case len(parts) == 3 && versionPattern.MatchString(parts[1]):
			l.version(top, parts[1])
		case len(parts) == 3 && byPath[path.Join(top, parts[1], "version.md")] != nil:
			l.version(top, parts[1])
		default:
			l.misplaced(n)
		}
	}
	for _, v := range l.journal.Vehicles {
		v.Note = byPath[v.Slug+"/vehicle.md"]
		if v.Note == nil {
			v.Note = l.absent(v.Slug+"/vehicle.md", fmt.Sprintf("the vehicle's folder `%s` has no vehicle.md", v.Slug), "write one with `kind: vehicle` and `name: ...` in its front matter.")
		}
		for _, version := range v.Versions {
			version.Note = byPath[version.Path()+"/version.md"]
			missing := version.Note == nil
			if missing {
				version.Note = l.absent(version.Path()+"/version.md", fmt.Sprintf("the version's folder `%s` has no version.md", version.Path()), "write one with `kind: version` in its front matter, or move what lies there to its version.")
			}
			for _, n := range list {
				if path.Dir(n.Path) == version.Path() && path.Base(n.Path) != "version.md" {
					l.run(version, n, missing)
				}
			}
		}
	}
	if l.journal.Note == nil { // taken away since the folder was opened
		l.journal.Note = l.absent(notes.JournalFile, "the journal has no "+notes.JournalFile, "write one with `title:` and `maker:`.")
	}
}

// absent reports a note that should be there, and stands in for it.
func (l *loader) absent(file, text, remedy string) *notes.Note {
	n := &notes.Note{Path: file, Source: finding.NewSource(file, nil), Broken: true}
	l.add(finding.Error, RuleMissingNote, n.Whole(), text, remedy)
	return n
}

// misplaced reports a note that lies where nothing looks for one.
func (l *loader) misplaced(n *notes.Note) {
	if n.Bare || n.Kind == "" {
		l.loose = append(l.loose, n.Path)
		return
	}
	at := n.KindSpan
	if n.Kind == KindRun {
		l.add(finding.Error, RuleRunNoVersion, at, "the run belongs to no version: there is no version.md beside it", "move it into its version's folder, such as shunter/1-lead-acid/.")
		return
	}
	l.wrongPlace(n)
}

func (l *loader) wrongPlace(n *notes.Note) {
	place, known := placeOf(n.Kind)
	if !known {
		l.broken = append(l.broken, n.Path) // nothing of it is taken
		var kinds []string
		for _, k := range kindPlace {
			kinds = append(kinds, k.kind)
		}
		l.add(finding.Error, notes.RuleUnknownWord, n.KindSpan, fmt.Sprintf("`kind`: unknown word `%s`%s", n.Kind, notes.DidYouMean(n.Kind, kinds)), "write one of "+strings.Join(kinds, ", ")+".")
		return
	}
	l.add(finding.Error, RuleWrongPlace, n.KindSpan, fmt.Sprintf("a note of the kind `%s` does not belong here", n.Kind), "its place is "+place+"; move it there, or write the kind that it is.")
}

// fits tells whether a note can be decoded as a kind, and reports why not.
func (l *loader) fits(n *notes.Note, kind string) bool {
	switch {
	case n.Bare:
		l.findings.Add(n.NoFrontMatter())
	case n.Broken:
	case n.Kind != "" && n.Kind != kind:
		l.wrongPlace(n)
	default:
		return true
	}
	return false
}

func (l *loader) vehicle(slug string) *Vehicle {
	for _, v := range l.journal.Vehicles {
		if v.Slug == slug {
			return v
		}
	}
	v := &Vehicle{Slug: slug}
	l.journal.Vehicles = append(l.journal.Vehicles, v)
	at := finding.Span{Source: finding.NewSource(slug+"/vehicle.md", nil)}
	if !slugPattern.MatchString(slug) {
		l.add(finding.Error, RuleFolderName, at, fmt.Sprintf("the folder name `%s` makes no address", slug), fmt.Sprintf(slugRemedy, plainName(slug)))
	} else if slices.Contains(reserved, slug) {
		l.add(finding.Error, RuleFolderName, at, fmt.Sprintf("the name `%s` is the site's own", slug), "give the vehicle's folder another name.")
	}
	return v
}

func (l *loader) version(vehicleSlug, slug string) {
	v := l.vehicle(vehicleSlug)
	for _, known := range v.Versions {
		if known.Slug == slug {
			return
		}
	}
	version := &Version{Vehicle: v, Slug: slug}
	at := finding.Span{Source: finding.NewSource(version.Path()+"/version.md", nil)}
	m := versionPattern.FindStringSubmatch(slug)
	switch {
	case m == nil:
		l.add(finding.Error, RuleFolderName, at, fmt.Sprintf("the version's folder name `%s` does not begin with a number", slug), fmt.Sprintf("begin it with the version's number and a hyphen, such as `%d-%s`.", len(v.Versions)+1, plainName(slug)))
	case !slugPattern.MatchString(slug):
		l.add(finding.Error, RuleFolderName, at, fmt.Sprintf("the folder name `%s` makes no address", slug), fmt.Sprintf(slugRemedy, plainName(slug)))
	}
	if m != nil {
		version.Number, _ = strconv.Atoi(m[1])
		for _, other := range v.Versions {
			if other.Number == version.Number {
				l.findings.Add(finding.Finding{Rule: RuleRepeatedNumber, Level: finding.Error, Span: at,
					Text: fmt.Sprintf("two versions have the number %d: `%s` and `%s`", version.Number, other.Slug, slug), Remedy: "give one of the two folders another number."})
			}
		}
	}
	v.Versions = append(v.Versions, version)
}

// IsVersionPath tells whether a path has the form of a version's, such as
// shunter/2-lifepo4.
func IsVersionPath(p string) bool {
	vehicle, version, ok := strings.Cut(p, "/")
	return ok && slugPattern.MatchString(vehicle) && !slices.Contains(reserved, vehicle) && slugPattern.MatchString(version) && versionPattern.MatchString(version)
}
