// Package safetytest reads the corpus of the rules of safety and lays its journals out, for tests alone.
package safetytest

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"

	"github.com/goccy/go-yaml"
	"github.com/rogpeppe/go-internal/txtar"

	"voltwright/internal/finding"
)

// What a case wants beside a signal word.
const (
	Sound    = "sound"
	Unjudged = "unjudged"
)

// Signals are the signal words that a case may want.
var Signals = map[string]finding.Signal{
	"DANGER": finding.Danger, "WARNING": finding.SignalWarning, "CAUTION": finding.Caution, "NOTICE": finding.PropertyNotice,
}

// Case is one case of the corpus, in the form that stands at the head of hazards_test.go.
type Case struct {
	File, Rule, Base string
	Want, Words      string // Sound, Unjudged or a signal word; what it is about
	Changes          []string
	Numbers          string
	Says, Also       []string
	Omits            []string
	Predict          bool
}

// Read reads the cases of one file. What is no case is an error with its line.
func Read(file string) ([]*Case, error) {
	text, err := os.ReadFile(file)
	if err != nil {
		return nil, err
	}
	var out []*Case
	var rule, base string
	var always []string
	var current *Case
	inAlways := false
	for n, line := range strings.Split(string(text), "\n") {
		indented := strings.HasPrefix(line, "  ")
		line = strings.TrimSpace(line)
		if line == "" || strings.HasPrefix(line, "#") {
			continue
		}
		if indented {
			switch head, rest, _ := strings.Cut(line, " "); {
			case inAlways:
				always = append(always, line)
			case current == nil:
				return nil, fmt.Errorf("%s:%d: a change before a case", file, n+1)
			case head == "numbers":
				current.Numbers = rest
			case head == "says":
				current.Says = append(current.Says, rest)
			case head == "omits":
				current.Omits = append(current.Omits, rest)
			case head == "also":
				current.Also = append(current.Also, rest)
			case line == "predict":
				current.Predict = true
			default:
				current.Changes = append(current.Changes, line)
			}
			continue
		}
		head, rest, ok := strings.Cut(line, ":")
		rest = strings.TrimSpace(rest)
		inAlways = head == "always"
		switch {
		case !ok:
			return nil, fmt.Errorf("%s:%d: %q is no head", file, n+1, line)
		case head == "rule":
			rule = rest
		case head == "base":
			base, always = rest, nil
		case inAlways:
			always = nil
		case head == Sound || head == Unjudged || Signals[head] != "":
			current = &Case{File: file, Rule: rule, Base: base, Want: head, Words: rest, Changes: slices.Clone(always)}
			out = append(out, current)
		default:
			return nil, fmt.Errorf("%s:%d: %q is no head", file, n+1, head)
		}
	}
	return out, nil
}

// Write lays the case's journal out in a folder; the sound journals are those of a folder of archives.
// A change that finds nothing to change is an error.
func (c *Case) Write(dir, sound string) error {
	a, err := txtar.ParseFile(filepath.Join(sound, c.Base+".txtar"))
	if err != nil {
		return err
	}
	for _, change := range c.Changes {
		if err := Apply(a, change); err != nil {
			return fmt.Errorf("%s: %q: %w", c.File, change, err)
		}
	}
	for _, f := range a.Files {
		path := filepath.Join(dir, filepath.FromSlash(f.Name))
		if err := errors.Join(os.MkdirAll(filepath.Dir(path), 0o755), os.WriteFile(path, f.Data, 0o644)); err != nil {
			return err
		}
	}
	return nil
}

var changePattern = regexp.MustCompile(`^(?:([a-z0-9/-]+): )?(?:(drop) (\S+)|(\S+) = (.*))$`)

// Apply makes one change to the notes of an archive. A change that finds nothing to change is an error.
func Apply(a *txtar.Archive, change string) error {
	m := changePattern.FindStringSubmatch(change)
	if m == nil {
		return errors.New("no change: write PATH = VALUE or drop PATH")
	}
	note := m[1]
	if note == "" {
		note = "version"
	}
	i := slices.IndexFunc(a.Files, func(f txtar.File) bool {
		return strings.HasSuffix("/"+f.Name, "/"+note+".md") && (strings.Contains(note, "/") || note == "vehicle" || strings.Contains(f.Name, "/2-"))
	})
	if i < 0 {
		return fmt.Errorf("there is no note %s", note)
	}
	parts := strings.SplitN(string(a.Files[i].Data), "---\n", 3)
	if len(parts) != 3 {
		return errors.New("the note has no front matter")
	}
	if m[4] == "text" {
		a.Files[i].Data = append(slices.Clone(a.Files[i].Data), []byte("\n"+m[5]+"\n")...)
		return nil
	}
	var front any
	if err := yaml.UnmarshalWithOptions([]byte(parts[1]), &front, yaml.UseOrderedMap()); err != nil {
		return err
	}
	var value any
	path := m[3]
	if m[2] == "" {
		path = m[4]
		if err := yaml.UnmarshalWithOptions([]byte(m[5]), &value, yaml.UseOrderedMap()); err != nil {
			return err
		}
	}
	front, err := set(front, strings.Split(path, "."), value, m[2] != "")
	if err != nil {
		return err
	}
	text, err := yaml.Marshal(front)
	if err != nil {
		return err
	}
	a.Files[i].Data = []byte("---\n" + string(text) + "---\n" + parts[2])
	return nil
}

// set puts a value at the end of a path, or drops what stands there.
func set(tree any, path []string, value any, drop bool) (any, error) {
	if len(path) == 0 {
		return value, nil
	}
	switch node := tree.(type) {
	case yaml.MapSlice:
		i := slices.IndexFunc(node, func(m yaml.MapItem) bool { return m.Key == path[0] })
		switch {
		case i < 0 && drop:
			return nil, fmt.Errorf("nothing stands at %s", path[0])
		case i < 0 && len(path) > 1:
			node = append(node, yaml.MapItem{Key: path[0], Value: yaml.MapSlice{}})
			i = len(node) - 1
		case i < 0:
			return append(node, yaml.MapItem{Key: path[0], Value: value}), nil
		case drop && len(path) == 1:
			return slices.Delete(node, i, i+1), nil
		}
		inner, err := set(node[i].Value, path[1:], value, drop)
		node[i].Value = inner
		return node, err
	case []any:
		var i int
		if _, err := fmt.Sscanf(path[0], "%d", &i); err != nil || i < 1 || i > len(node)+1 {
			return nil, fmt.Errorf("%s is no item of %d", path[0], len(node))
		}
		if i == len(node)+1 {
			return append(node, value), nil
		}
		if drop && len(path) == 1 {
			return slices.Delete(node, i-1, i), nil
		}
		inner, err := set(node[i-1], path[1:], value, drop)
		node[i-1] = inner
		return node, err
	default:
		return nil, fmt.Errorf("nothing stands under %s", path[0])
	}
}
