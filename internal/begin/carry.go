package begin

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"path"
	"slices"
	"strings"

	"voltwright/internal/journal"
	"voltwright/internal/notes"
)

// Ask is what the maker says of the next version or run; what is empty is left empty in the draft.
type Ask struct {
	Name string // a few words
	Date notes.Date
	Log  *Log // of a run: what was recorded, to be put beside the note; nil: it is to come
}

// Log is the file that a run's log is.
type Log struct {
	Ending string // of its name: ".csv"
	Text   []byte
}

// next is what a version or run is called in its path as long as it has no name or date.
const next = "next"

// leftOfVersion are the keys of a version that are not carried over as they are: those that are written anew, and the
// maker's answers to what inspection said of the last version, which are no answers for the next.
var leftOfVersion = []string{"kind", "name", "date", "follows", "state", "summary", "answers"}

// keptOfRun are the keys of a run that say how it was made; all others hold what was found.
var keptOfRun = []string{"instruments", "pause-after", "idle"}

// keptConditions are the conditions that the maker sets; the others are found on the day.
var keptConditions = []string{"payload", "surface", "setting"}

// NextVersion drafts the next version of a vehicle from its last. It opens files of the journal by open. The error says
// why it cannot.
func NextVersion(v *journal.Vehicle, open func(path string) (fs.File, error), ask Ask) (*Draft, error) {
	if len(v.Versions) == 0 {
		return nil, fmt.Errorf("%s has no version yet to carry over from; write %s/1-NAME/version.md, for instance after the one that `voltwright begin` writes to a new folder", v.Slug, v.Slug)
	}
	last := v.Versions[len(v.Versions)-1]
	front, err := frontOf(last.Note)
	if err != nil {
		return nil, err
	}
	d := &Draft{}
	var b strings.Builder
	b.WriteString("---\nkind: version\n")
	d.ask(&b, ask, "what this version is, in a few words", "the day from which it runs, such as 2026-05-09")
	fmt.Fprintf(&b, "follows: %s\nstate: planned\n", last.Slug)
	for _, k := range front.Keys {
		if !slices.Contains(leftOfVersion, k.Name) {
			b.WriteString(block(last.Note, k.Name))
		}
	}
	fmt.Fprintf(&b, "---\n\nWhat is changed from [version %d](../%s/version.md), and why: to be written. The values above are those of that\nversion until they are changed.\n", last.Number, last.Slug)
	folder := fmt.Sprintf("%s/%d-%s", v.Slug, last.Number+1, or(journal.PlainName(ask.Name), next))
	d.Files = []File{{folder + "/version.md", []byte(b.String())}}
	return d, d.beside(last, open, folder)
}

// beside carries over the table that a version's note is read together with.
func (d *Draft) beside(last *journal.Version, open func(path string) (fs.File, error), folder string) error {
	if last.PartsSource == "" {
		return nil
	}
	f, err := open(last.PartsSource)
	if err != nil {
		return err
	}
	text, err := io.ReadAll(f)
	if err := errors.Join(err, f.Close()); err != nil {
		return err
	}
	d.Files = append(d.Files, File{folder + "/" + path.Base(last.PartsSource), text})
	return nil
}

// NextRun drafts the next run of a version from the last run of it, or else of a version before. The error says why it
// cannot.
func NextRun(v *journal.Version, ask Ask) (*Draft, error) {
	d := &Draft{}
	kind, ending := journal.Bench, ".csv"
	last := lastRun(v)
	var front *notes.Node
	if last != nil {
		var err error
		if front, err = frontOf(last.Note); err != nil {
			return nil, err
		}
		kind = journal.RunType(or(string(last.Type.Value), string(kind)))
		if last.Log != nil {
			ending = or(path.Ext(last.Log.File.Text), ending)
		}
	}
	if ask.Log != nil {
		ending = ask.Log.Ending
	}
	slug := freeSlug(v, string(kind)+"-"+or(ask.Date.String(), next))
	var b strings.Builder
	fmt.Fprintf(&b, "---\nkind: run\ntype: %s\n", kind)
	d.ask(&b, ask, "what this run was, in a few words", "the day of the run, such as 2026-05-09")
	if last == nil {
		fmt.Fprintf(&b, "log: {file: %s%s}\n", slug, ending)
		if ask.Log == nil {
			d.Empty = append(d.Empty, "put the log beside the note, as "+slug+ending)
		}
	} else {
		d.conditions(&b, last.Note, front)
		for _, k := range keptOfRun {
			if _, ok := front.Lookup(k); ok {
				b.WriteString(block(last.Note, k))
			}
		}
		d.evidence(&b, last, front, slug+ending, ask.Log != nil)
	}
	fmt.Fprintf(&b, "---\n\nHow it was done and what was seen: to be written.\n")
	d.Files = []File{{v.Path() + "/" + slug + ".md", []byte(b.String())}}
	if ask.Log != nil {
		d.Files = append(d.Files, File{v.Path() + "/" + slug + ending, ask.Log.Text})
	}
	return d, nil
}

// ask writes the keys that the maker must fill in.
func (d *Draft) ask(b *strings.Builder, ask Ask, name, date string) {
	if ask.Name != "" {
		fmt.Fprintf(b, "name: %s\n", quoted(ask.Name))
	} else {
		fmt.Fprintf(b, "name:  # %s\n", name)
		d.Empty = append(d.Empty, "`name`: "+name)
	}
	if ask.Date.Set {
		fmt.Fprintf(b, "date: %s\n", ask.Date)
	} else {
		fmt.Fprintf(b, "date:  # %s\n", date)
		d.Empty = append(d.Empty, "`date`: "+date)
	}
}

// conditions carries over what the maker sets and asks for what is found on the day.
func (d *Draft) conditions(b *strings.Builder, n *notes.Note, front *notes.Node) {
	conditions, _ := front.Lookup("conditions")
	var kept []string
	if conditions != nil {
		for _, k := range conditions.Keys {
			if slices.Contains(keptConditions, k.Name) && k.Value.Kind == notes.Scalar {
				kept = append(kept, k.Name+": "+written(n, k.Value))
			}
		}
	}
	fmt.Fprintf(b, "conditions: {%s}  # with the temperature as it was: temperature: … °C\n", strings.Join(kept, ", "))
	d.Empty = append(d.Empty, "`conditions.temperature`: as it was on the day")
}

// evidence carries over how the last run was recorded, with room for what is recorded now. log is the name of its log, which is there
// already where that was given.
func (d *Draft) evidence(b *strings.Builder, last *journal.Run, front *notes.Node, log string, given bool) {
	if node, ok := front.Lookup("log"); ok {
		text := block(last.Note, "log")
		if file, ok := node.Lookup("file"); ok && file.Kind == notes.Scalar {
			start := bytes.Index([]byte(text), []byte(written(last.Note, file)))
			if start >= 0 {
				text = text[:start] + log + text[start+len(written(last.Note, file)):]
			}
		}
		b.WriteString(text)
		if !given {
			d.Empty = append(d.Empty, "put the log beside the note, as "+log)
		}
		return
	}
	if given {
		fmt.Fprintf(b, "log: {file: %s}\n", log)
		return
	}
	if _, ok := front.Lookup("readings"); ok {
		b.WriteString("readings:  # one row a reading, such as - {at: 5 min, voltage: 26.1 V, current: 4.2 A}\n")
		d.Empty = append(d.Empty, "`readings`: one row a reading")
	}
	if node, ok := front.Lookup("stopwatch"); ok {
		b.WriteString("stopwatch:\n")
		for _, k := range []string{"resolution", "lap"} {
			if v, ok := node.Lookup(k); ok && v.Kind == notes.Scalar {
				fmt.Fprintf(b, "  %s: %s\n", k, written(last.Note, v))
			}
		}
		b.WriteString("  laps:  # one time a lap, such as [4 min 10 s, 4 min 12 s]\n")
		d.Empty = append(d.Empty, "`stopwatch.laps`: one time a lap")
	}
}

// lastRun is the run that the next one of a version is carried over from: the latest of the version, or else of the
// versions before it; nil if none of them has a run.
func lastRun(v *journal.Version) *journal.Run {
	at := slices.Index(v.Vehicle.Versions, v)
	for i := at; i >= 0; i-- {
		if runs := v.Vehicle.Versions[i].Runs; len(runs) > 0 {
			return runs[len(runs)-1]
		}
	}
	return nil
}

// freeSlug is the wish, or the wish with a number where a run of the version has it.
func freeSlug(v *journal.Version, wish string) string {
	slug := wish
	for n := 2; slices.ContainsFunc(v.Runs, func(r *journal.Run) bool { return r.Slug == slug }); n++ {
		slug = fmt.Sprintf("%s-%d", wish, n)
	}
	return slug
}

func frontOf(n *notes.Note) (*notes.Node, error) {
	if n.Broken || n.Front == nil || n.Front.Kind != notes.Mapping {
		return nil, fmt.Errorf("the front matter of %s cannot be read; `voltwright inspect` says why", n.Path)
	}
	return n.Front, nil
}

// block is a key of the front matter with all that belongs to it, as it is written: from its line to the line of the
// next key.
func block(n *notes.Note, key string) string {
	i := slices.IndexFunc(n.Front.Keys, func(k notes.Key) bool { return k.Name == key })
	start, end := lineStart(n.Text(), int(n.Front.Keys[i].Span.Start)), n.BodyOffset
	if i+1 < len(n.Front.Keys) {
		end = lineStart(n.Text(), int(n.Front.Keys[i+1].Span.Start))
	} else if fence := bytes.LastIndex(n.Text()[start:end], []byte("\n---")); fence >= 0 {
		end = start + fence + 1
	}
	return strings.TrimRight(strings.ReplaceAll(string(n.Text()[start:end]), "\r\n", "\n"), "\n") + "\n"
}

func lineStart(text []byte, at int) int { return bytes.LastIndexByte(text[:at], '\n') + 1 }

// written is a value as it stands in the note, with its quotes.
func written(n *notes.Note, v *notes.Node) string { return string(n.Text()[v.Span.Start:v.Span.End]) }

// quoted is a text as a value of YAML; the form of JSON is one.
func quoted(text string) string {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	if err := e.Encode(text); err != nil { // of a string: cannot be
		panic(err)
	}
	return strings.TrimSuffix(b.String(), "\n")
}

func or(text, other string) string {
	if text == "" {
		return other
	}
	return text
}
