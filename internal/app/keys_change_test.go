package app

import (
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/goccy/go-yaml"
	"github.com/rogpeppe/go-internal/txtar"
)

func changeAll(t *testing.T, a *txtar.Archive, changes string) {
	if changes == "" {
		return
	}
	for _, c := range strings.Split(changes, " && ") {
		if err := changeFront(a, c); err != nil {
			t.Errorf("%s: %v", c, err)
		}
	}
}

var noteOf = regexp.MustCompile(`^([a-z0-9-]+): `)

// splitChange takes the note's name from a change.
func splitChange(c string) (note, change string) {
	if m := noteOf.FindStringSubmatch(c); m != nil {
		return m[1], c[len(m[0]):]
	}
	return "version", c
}

// changeFront makes one change in the front matter of a note.
func changeFront(a *txtar.Archive, c string) error {
	note, change := splitChange(c)
	i := slices.IndexFunc(a.Files, func(f txtar.File) bool {
		name := "/" + f.Name
		return note == "before" && strings.HasSuffix(name, "/1-before/version.md") || strings.HasSuffix(name, "/"+note+".md") && !strings.Contains(name, "1-before") || note == "journal" && name == "/journal.yaml" || strings.HasSuffix(name, "-"+note+".md")
	})
	if i < 0 {
		return fmt.Errorf("there is no note %s", note)
	}
	head, text, tail := "", string(a.Files[i].Data), ""
	if note != "journal" {
		parts := strings.SplitN(text, "---\n", 3)
		head, text, tail = "---\n", parts[1], "---\n"+parts[2]
	}
	var front any
	if err := yaml.UnmarshalWithOptions([]byte(text), &front, yaml.UseOrderedMap()); err != nil {
		return err
	}
	path, value, sets := strings.Cut(change, " = ")
	var to any
	if sets {
		if err := yaml.UnmarshalWithOptions([]byte(value), &to, yaml.UseOrderedMap()); err != nil {
			return err
		}
	} else {
		path = strings.TrimPrefix(path, "drop ")
	}
	made, err := putAt(front, strings.Split(path, "."), to, !sets)
	if err != nil {
		return err
	}
	out, err := yaml.Marshal(made)
	if err != nil {
		return err
	}
	a.Files[i].Data = []byte(head + string(out) + tail)
	return nil
}

// putAt puts a value at the end of a path, or takes out what stands there.
func putAt(tree any, path []string, value any, drop bool) (any, error) {
	if len(path) == 0 {
		return value, nil
	}
	switch node := tree.(type) {
	case yaml.MapSlice:
		i := slices.IndexFunc(node, func(m yaml.MapItem) bool { return m.Key == path[0] })
		if i < 0 && drop {
			return nil, fmt.Errorf("nothing stands at %s", path[0])
		}
		if drop && len(path) == 1 {
			return slices.Delete(node, i, i+1), nil
		}
		if i < 0 {
			node = append(node, yaml.MapItem{Key: path[0], Value: yaml.MapSlice{}})
			i = len(node) - 1
		}
		inner, err := putAt(node[i].Value, path[1:], value, drop)
		node[i].Value = inner
		return node, err
	case []any:
		i := slices.IndexFunc(node, func(item any) bool {
			group, is := item.(yaml.MapSlice)
			return is && slices.ContainsFunc(group, func(m yaml.MapItem) bool {
				return m.Key == "name" && m.Value == path[0] || (m.Key == "from" || m.Key == "to") && m.Value == path[0]
			})
		})
		if n, err := strconv.Atoi(path[0]); i < 0 && err == nil && n >= 1 && n <= len(node)+1 {
			i = n - 1
		}
		switch {
		case i < 0:
			return nil, fmt.Errorf("%s is no item", path[0])
		case i == len(node):
			return append(node, value), nil
		case drop && len(path) == 1:
			return slices.Delete(node, i, i+1), nil
		}
		inner, err := putAt(node[i], path[1:], value, drop)
		node[i] = inner
		return node, err
	}
	return nil, fmt.Errorf("nothing stands under %s", path[0])
}
