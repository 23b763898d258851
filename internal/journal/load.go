package journal

import (
	"cmp"
	"fmt"
	"math"
	"path"
	"slices"
	"strings"

	"voltwright/internal/finding"
	"voltwright/internal/notes"
)

// Load reads a folder and resolves it. There is always a journal; what is
// wrong with it is in the findings, all of it. Where a note could not be read,
// what stands for it keeps its place with nothing in it, so that no pointer to
// a Note, a Document, a Vehicle or a Version is nil.
func Load(f *notes.Folder, findings *finding.List) *Journal {
	l := &loader{folder: f, findings: findings, journal: &Journal{Folder: f}, made: &[2]int{}}
	list := f.Read(findings)
	for _, n := range list {
		if n.Broken && !n.Bare {
			l.broken = append(l.broken, n.Path)
		}
	}
	l.arrange(list)
	l.decode()
	l.order()
	l.questions()
	l.corrections()
	l.check()
	l.faulty()
	l.refer()
	l.unused()
	return l.journal
}

type loader struct {
	folder   *notes.Folder
	findings *finding.List
	journal  *Journal
	loose    []string // notes that belong to nothing
	broken   []string // notes that could not be read
	meant    []string // files that a name with a slip in it is most likely to mean
	byPath   map[string]*Version
	made     *[2]int // bytes of front matter that versions take over and that paths stand for: of what is told, and of what is made for others
	unheard  bool    // what is made is for a version that is like this one: nobody is told
}

func (l *loader) add(level finding.Level, rule string, at finding.Span, text, remedy string) {
	l.findings.Add(finding.Finding{Rule: rule, Level: level, Span: at, Text: text, Remedy: remedy})
}

// decode fills the types from the front matter and parses the bodies. Pages
// and runs were decoded when their place was found.
func (l *loader) decode() {
	j := l.journal
	blank := notes.Note{}
	if front := j.Note.Front; front != nil {
		notes.Decode(front, j, l.findings)
	} else {
		notes.Decode(blank.Front, j, &finding.List{})
	}
	for _, v := range j.Vehicles {
		l.fill(v.Note, KindVehicle, v)
		v.document = l.parse(v.Note)
		for _, version := range v.Versions {
			l.fillVersion(version)
			version.document = l.parse(version.Note)
			l.partsFile(version)
		}
	}
}

// fill decodes a note's front matter, or gives the fields the state "not written".
func (l *loader) fill(n *notes.Note, kind string, into any) {
	if !l.fits(n, kind) {
		notes.Decode(nil, into, &finding.List{})
		return
	}
	l.former(n.Front)
	notes.Decode(n.Front, into, l.findings)
}

// fillVersion decodes a version's front matter with what it takes over from another.
func (l *loader) fillVersion(v *Version) {
	if !l.fits(v.Note, KindVersion) {
		notes.Decode(nil, v, &finding.List{})
		return
	}
	notes.Decode(l.writeOut(v), v, l.findings)
}

func (l *loader) parse(n *notes.Note) *notes.Document {
	d := notes.Parse(n)
	l.findings.Add(d.Findings...)
	return d
}

func (l *loader) page(n *notes.Note, kind string) {
	p := &NotePage{Slug: strings.TrimSuffix(path.Base(n.Path), ".md"), Note: n}
	l.noteName(n, p.Slug)
	switch kind {
	case KindQuestion:
		l.question(n, p)
	case KindCorrection:
		l.correction(n, p)
	default:
		l.fill(n, kind, p)
	}
	p.document = l.parse(n)
	switch kind {
	case KindQuestion:
		l.journal.Questions = append(l.journal.Questions, p)
	case KindCorrection:
		l.journal.Corrections = append(l.journal.Corrections, p)
	default:
		l.journal.Notes = append(l.journal.Notes, p)
	}
}

func (l *loader) run(v *Version, n *notes.Note, orphan bool) {
	if n.Bare && strings.EqualFold(path.Base(n.Path), "readme.md") {
		l.loose = append(l.loose, n.Path)
		return
	}
	if orphan && n.Kind == KindRun {
		l.add(finding.Error, RuleRunNoVersion, n.KindSpan, "the run belongs to no version: there is no version.md beside it", "write the version.md, or move the run into its version's folder.")
	}
	r := &Run{Version: v, Slug: strings.TrimSuffix(path.Base(n.Path), ".md"), Note: n}
	l.noteName(n, r.Slug)
	if r.Slug == BenchSheetSlug || r.Slug == WiringSlug || r.Slug == AnswersSlug || r.Slug == FirstPowerSlug {
		l.add(finding.Error, RuleFolderName, n.Whole(), fmt.Sprintf("the name `%s` is the site's own", r.Slug), "give the run another name.")
	}
	l.fill(n, KindRun, r)
	r.document = l.parse(n)
	if n.Kind == KindRun || n.Broken {
		v.Runs = append(v.Runs, r)
	}
}

func (l *loader) noteName(n *notes.Note, slug string) {
	if !slugPattern.MatchString(slug) {
		l.add(finding.Error, RuleFolderName, n.Whole(), "the file name `"+path.Base(n.Path)+"` makes no address", "use small letters a to z, digits and single hyphens, such as `"+plainName(slug)+".md`.")
	}
}

// order puts everything in the order in which it is shown.
func (l *loader) order() {
	j := l.journal
	slices.SortFunc(j.Vehicles, func(a, b *Vehicle) int { return cmp.Compare(a.Slug, b.Slug) })
	newest := func(a, b *NotePage) int {
		return cmp.Or(cmp.Compare(b.Date.String(), a.Date.String()), cmp.Compare(a.Slug, b.Slug))
	}
	slices.SortFunc(j.Notes, newest)
	slices.SortFunc(j.Corrections, newest)
	slices.SortFunc(j.Questions, func(a, b *NotePage) int {
		return cmp.Or(cmp.Compare(a.Question.Rank.Or(math.MaxInt), b.Question.Rank.Or(math.MaxInt)), cmp.Compare(a.Slug, b.Slug))
	})
	for _, v := range j.Vehicles {
		slices.SortFunc(v.Versions, func(a, b *Version) int {
			return cmp.Or(cmp.Compare(a.Number, b.Number), cmp.Compare(a.Slug, b.Slug))
		})
		for _, version := range v.Versions {
			slices.SortFunc(version.Runs, func(a, b *Run) int {
				return cmp.Or(cmp.Compare(a.Date.String(), b.Date.String()), cmp.Compare(a.Slug, b.Slug))
			})
		}
	}
}

// faulty notes which notes have errors. What they say is only known in part, so that whatever else is missed may be in them.
func (l *loader) faulty() {
	l.journal.faulty = map[string]bool{}
	for _, f := range l.findings.Sorted() {
		if f.Level == finding.Error {
			l.journal.faulty[f.Span.File()] = true
		}
	}
}

// unused reports the files that nothing names. Those beside a note that could not be read are left alone: it may well be
// the one that names them.
func (l *loader) unused() {
	used := map[string]bool{}
	for _, a := range l.journal.Used {
		used[a.Path] = true
	}
	for _, file := range l.folder.Files() {
		top, _, _ := strings.Cut(file.Path, "/")
		isNote := strings.HasSuffix(file.Path, ".md") || file.Path == notes.JournalFile
		if used[file.Path] || top == themesFolder || isNote && !slices.Contains(l.loose, file.Path) || slices.Contains(l.meant, file.Path) || l.besideBroken(file.Path) {
			continue
		}
		l.add(finding.Note, RuleUnusedFile, finding.Span{Source: finding.NewSource(file.Path, nil)}, "nothing in the journal uses this file; it is not published", "name it in a note, or take it out of the folder.")
	}
}

// besideBroken says whether a note that could not be read lies in the folder of a file, or in one that holds it.
func (l *loader) besideBroken(file string) bool {
	return slices.ContainsFunc(l.broken, func(note string) bool { return strings.HasPrefix(file, path.Dir(note)+"/") })
}
