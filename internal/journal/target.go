package journal

import (
	"fmt"
	"path"
	"slices"
	"strings"

	"voltwright/internal/finding"
	"voltwright/internal/notes"
)

// Target is what a plot, a table or a diagram is of.
type Target struct {
	Scheme  notes.Scheme
	Vehicle *Vehicle
	Version *Version // nil for a table or a diagram of a whole vehicle
	Run     *Run     // nil for a table or a diagram of a version
	Name    string   // of the plot, table or diagram
}

// TargetError says why an embed is bound to nothing.
type TargetError struct {
	Text, Remedy string
	Follows      bool // the note that it leads to has errors of its own, from which this may well follow
}

// Faulty says whether the note of a place has errors of its own: then what is known of it may rest on less than what its
// maker wrote.
func (j *Journal) Faulty(p Place) bool {
	d := p.Document()
	return d != nil && j.faulty[d.Note.Path]
}

// LeadsToFaulty says whether the parts of a target name the file of a run that has errors of its own.
func (j *Journal) LeadsToFaulty(parts []string) bool {
	for file := range j.faulty {
		address := strings.TrimSuffix(file, ".md")
		for i := 1; i <= len(parts); i++ {
			if strings.HasSuffix("/"+address, "/"+strings.Join(parts[:i], "/")) {
				return true
			}
		}
	}
	return false
}

// Error gives the text.
func (e *TargetError) Error() string { return e.Text }

// Target resolves an embed that stands at a place. The last part of what it
// names is a plot, table or diagram. Before it stands the run as
// RUN, VERSION/RUN or VEHICLE/VERSION/RUN, read from the place's own version
// and vehicle outwards; at a run's own note it may be left out. Tables and
// diagrams may belong to a version (NAME, VERSION/NAME, VEHICLE/VERSION/NAME)
// or a vehicle as well. What is bound by `value:` is another package's to find.
//
// It does not judge whether a run has such a plot, table or diagram: whoever
// makes them knows.
func (j *Journal) Target(at Place, e *notes.Embed) (Target, *TargetError) {
	parts := strings.Split(e.Target, "/")
	if slices.Contains(parts, "") {
		return Target{}, NamesNothing(e.Scheme, e.Target)
	}
	name, owner := parts[len(parts)-1], parts[:len(parts)-1]
	t, err := j.owner(at, owner, e)
	if err != nil {
		return Target{}, err
	}
	t.Scheme, t.Name = e.Scheme, name
	return t, nil
}

// NamesNothing is the error of a target with nothing in it, or in one of its parts.
func NamesNothing(scheme notes.Scheme, target string) *TargetError {
	return &TargetError{Text: fmt.Sprintf("`%s:%s` names nothing that can be shown", scheme, target), Remedy: "write it as " + ExampleTarget(scheme) + "."}
}

// ExampleTarget is a target of a scheme as a sentence has it, between backquotes.
func ExampleTarget(s notes.Scheme) string {
	switch s {
	case notes.PlotScheme:
		return "`plot:RUN/voltage`"
	case notes.TableScheme:
		return "`table:run-time`"
	case notes.DiagramScheme:
		return "`diagram:wiring`"
	default:
		return "`value:RUN/running-time`"
	}
}

// owner finds the run, version or vehicle that the parts name, seen from a place.
func (j *Journal) owner(at Place, parts []string, e *notes.Embed) (Target, *TargetError) {
	needsRun := e.Scheme == notes.PlotScheme
	if len(parts) == 0 {
		if at.Vehicle == nil || needsRun && at.Run == nil {
			return Target{}, &TargetError{Text: fmt.Sprintf("`%s:%s` names no run", e.Scheme, e.Target), Remedy: "write it as " + ExampleTarget(e.Scheme) + "." + j.RunsNear(at)}
		}
		return Target{Vehicle: at.Vehicle, Version: at.Version, Run: at.Run}, nil
	}
	if p, ok := j.seen(at, parts, needsRun); ok {
		return Target{Vehicle: p.Vehicle, Version: p.Version, Run: p.Run}, nil
	}
	err, _ := j.unseen(at, parts, needsRun)
	err.Follows = j.LeadsToFaulty(parts)
	return Target{}, err
}

// Unseen is the error of parts that name no run, version or vehicle as seen from a place; near says that something is called
// nearly so, which the error then names.
func (j *Journal) Unseen(at Place, parts []string) (err *TargetError, near bool) {
	return j.unseen(at, parts, false)
}

func (j *Journal) unseen(at Place, parts []string, needsRun bool) (err *TargetError, near bool) {
	wanted := strings.Join(parts, "/")
	what := "run"
	if !needsRun {
		what = "run, version or vehicle"
	}
	meant := notes.DidYouMean(wanted, j.namesFrom(at, needsRun))
	return &TargetError{Text: fmt.Sprintf("there is no %s `%s` seen from here%s", what, wanted, meant), Remedy: "name a run of this version by its file's name, any other as VEHICLE/VERSION/RUN." + j.RunsNear(at)}, meant != ""
}

// seen finds what parts name, from the place's own version outwards.
func (j *Journal) seen(at Place, parts []string, needsRun bool) (Place, bool) {
	fits := func(p Place, ok bool) bool { return ok && (p.Run != nil || !needsRun) }
	if at.Version != nil {
		if p, ok := at.Version.place(parts); fits(p, ok) {
			return p, true
		}
	}
	if at.Vehicle != nil {
		if p, ok := at.Vehicle.place(parts); fits(p, ok) {
			return p, true
		}
	}
	p, ok := j.place(parts)
	return p, fits(p, ok)
}

// namesFrom lists the shortest name of everything that an embed can belong to,
// as seen from a place.
func (j *Journal) namesFrom(at Place, needsRun bool) []string {
	var out []string
	for _, p := range j.Places() {
		if p.Vehicle == nil || needsRun && p.Run == nil {
			continue
		}
		name := strings.TrimSuffix(p.Address(), "/")
		switch {
		case p.Run != nil && p.Version == at.Version:
			name = p.Run.Slug
		case p.Version != nil && p.Vehicle == at.Vehicle:
			name = strings.TrimPrefix(name, p.Vehicle.Slug+"/")
		}
		out = append(out, name)
	}
	return out
}

// RunsNear lists a few runs as they are named from a place, as a sentence that follows another; "" where there is none.
func (j *Journal) RunsNear(at Place) string {
	var names []string
	if at.Version != nil {
		for _, r := range at.Version.Runs {
			names = append(names, r.Slug)
		}
	} else {
		for _, r := range j.Runs() {
			if at.Vehicle == nil || at.Vehicle == r.Version.Vehicle {
				names = append(names, string(r.ID()))
			}
		}
	}
	const most = 8
	switch {
	case len(names) == 0:
		return ""
	case len(names) > most:
		return " Runs: " + strings.Join(names[:most], ", ") + " and others."
	default:
		return " Runs: " + strings.Join(names, ", ") + "."
	}
}

// refer follows what the notes name: logs, pictures, links and embeds.
func (l *loader) refer() {
	for _, r := range l.journal.Runs() {
		if r.Log != nil && r.Log.File.Set {
			l.log(r)
		}
	}
	for _, p := range l.journal.Places() {
		l.photos(p)
		d := p.Document()
		for _, e := range p.Bound() {
			var err *TargetError
			switch e.Scheme {
			case notes.ValueScheme: // judged by whoever has the results
			case notes.SourceScheme:
				_, err = l.journal.Source(e.Target)
			default:
				_, err = l.journal.Target(p, e)
			}
			if err != nil && !err.Follows {
				l.add(finding.Error, RuleUnknownTarget, e.Span, err.Text, err.Remedy)
			}
		}
		for _, link := range d.Links {
			l.link(d, link)
		}
	}
	slices.SortFunc(l.journal.Used, func(a, b Attachment) int { return strings.Compare(a.Path, b.Path) })
}

func (l *loader) use(file string, kind AttachmentKind, from finding.Span) {
	if l.journal.users == nil {
		l.journal.users = map[string][]string{}
	}
	l.journal.users[file] = append(l.journal.users[file], from.File())
	for i, a := range l.journal.Used {
		if a.Path == file {
			if kind == LogFile {
				l.journal.Used[i].Kind = kind
			}
			return
		}
	}
	l.journal.Used = append(l.journal.Used, Attachment{Path: file, Kind: kind, From: from})
}

// available finds a file that a note names; where it cannot be used it reports so.
func (l *loader) available(written, file string, outside bool, at finding.Span, missing string) bool {
	err := notes.ErrOutside
	if !outside {
		_, err = l.folder.Stat(file)
	}
	if err == nil {
		return true
	}
	f, told := notes.Trouble(written, err, at)
	if !told {
		var near []string
		for _, other := range l.folder.Files() {
			if path.Dir(other.Path) == path.Dir(file) && (missing == RuleBrokenLink || path.Ext(other.Path) != ".md") {
				near = append(near, path.Base(other.Path))
			}
		}
		f.Rule = missing
		f.Text = fmt.Sprintf("there is no file `%s`%s", written, notes.DidYouMean(path.Base(file), near))
		if meant, ok := finding.Nearest(path.Base(file), near); ok {
			l.meant = append(l.meant, path.Join(path.Dir(file), meant))
		}
		f.Remedy = "put it there, or correct its name; it is read from the note's own folder."
	}
	l.findings.Add(f)
	return false
}

func (l *loader) log(r *Run) {
	file, err := notes.Clean(path.Dir(r.Note.Path), r.Log.File.Text)
	if !l.available(r.Log.File.Text, file, err != nil, r.Log.File.Span, RuleMissingLog) {
		return
	}
	r.Log.Path = file
	l.use(file, LogFile, r.Log.File.Span)
}

func (l *loader) link(d *notes.Document, link *notes.Link) {
	if !link.Outside {
		if link.Path == "" {
			l.heading(d, link)
			return
		}
		if p, ok := l.journal.PlaceOf(strings.TrimSuffix(link.Path, "/")); ok && !link.Image {
			if p.Page != nil && link.Fragment != "" {
				l.heading(p.Page.Document(), link)
			}
			return
		}
	}
	rule, kind := RuleBrokenLink, Linked
	if link.Image {
		rule, kind = RuleMissingPicture, Picture
	}
	if !l.available(link.Written, link.Path, link.Outside, link.Span, rule) {
		return
	}
	switch {
	case link.Image && !l.shows(link.Path, link.Written, link.Span):
		return
	case path.Ext(link.Path) == ".md":
		l.add(finding.Error, RuleBrokenLink, link.Span, fmt.Sprintf("`%s` is no page of the site", link.Written), "link to a note that has its place in the journal.")
		return
	}
	if link.Image && strings.TrimSpace(link.Words) == "" {
		l.add(finding.Error, RulePictureWords, link.Span, fmt.Sprintf("the picture `%s` has no words", link.Written), "say in the brackets what is seen, for who does not see it: ![four clamps with ferrules](clamps.jpg).")
	}
	l.use(link.Path, kind, link.Span)
}

func (l *loader) heading(d *notes.Document, link *notes.Link) {
	if link.Fragment == "" {
		return
	}
	var ids []string
	for _, h := range d.Headings {
		ids = append(ids, h.ID)
	}
	if !slices.Contains(ids, link.Fragment) {
		l.add(finding.Warning, RuleUnknownHeading, link.Span, fmt.Sprintf("there is no heading `#%s`%s", link.Fragment, notes.DidYouMean(link.Fragment, ids)), "a heading's name is its words in small letters with hyphens between.")
	}
}
