package whole

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
)

// A list says of each file SHA-256 and path, parted by two spaces; a dash stands for a sum while the folder is written.
// Its last line counts them, so that one that was cut short is known.

const unknownSum = "-"

// list is the list of a folder as it was read.
type list struct {
	found    bool // there is a file of that name
	begun    bool // it is ours, though it may be cut short
	whole    bool
	listless bool // it is ours of former times, and names nothing
	text     string
	sums     map[string]string
}

// ours tells whether the list itself was written by this program.
func (l *list) ours() bool { return l.begun || l.listless }

// names is the list of a folder that is being written.
func (o Owned) names(paths []string) string {
	sums := map[string]string{}
	for _, name := range paths {
		sums[name] = unknownSum
	}
	return o.sums(sums)
}

func (o Owned) sums(sums map[string]string) string {
	var b strings.Builder
	b.WriteString(o.Head + "\n\n" + strings.TrimSpace(o.Text) + "\n\n")
	names := make([]string, 0, len(sums))
	for name := range sums {
		names = append(names, name)
	}
	slices.Sort(names)
	for _, name := range names {
		fmt.Fprintf(&b, "%s  %s\n", sums[name], QuotedName(name))
	}
	b.WriteString(listEnd(len(names)))
	return b.String()
}

func listEnd(n int) string { return fmt.Sprintf("%d files\n", n) }

// QuotedName is a path as it stands on a line of a list: one that would not stay on its line, or not be read back as it is, is
// written as a string of the Go language, in double quotes.
func QuotedName(name string) string {
	if q := strconv.Quote(name); q != `"`+name+`"` {
		return q
	}
	return name
}

// read reads the list of a folder. The error says that there is one of another kind.
func (o Owned) read(dir string) (*list, error) {
	l := &list{sums: map[string]string{}}
	data, err := os.ReadFile(filepath.Join(dir, o.List))
	if errors.Is(err, fs.ErrNotExist) {
		return l, nil
	}
	if err != nil {
		return nil, err
	}
	text := string(data)
	l.found, l.text = true, text
	head, rest, _ := strings.Cut(text, "\n")
	switch strings.TrimSuffix(head, "\r") {
	case o.Head:
		l.begun = true
	case o.Listless:
		if o.Listless != "" {
			l.listless = true
			return l, nil
		}
	}
	if !l.begun {
		l.begun = strings.HasPrefix(o.Head+"\n", text) // a kill while it was written
		if !l.begun {
			return nil, fmt.Errorf("%s %w of this format: %s says %q", dir, ErrForeign, o.List, head)
		}
		return l, nil
	}
	lines := strings.SplitAfter(rest, "\n")
	for _, line := range lines {
		whole := strings.HasSuffix(line, "\n")
		line = strings.TrimRight(line, "\r\n")
		if sum, name, ok := strings.Cut(line, "  "); ok && whole && (sum == unknownSum || len(sum) == 64) {
			if strings.HasPrefix(name, `"`) {
				if name, err = strconv.Unquote(name); err != nil {
					continue
				}
			}
			l.sums[name] = strings.TrimPrefix(sum, unknownSum)
		}
		l.whole = whole && line+"\n" == listEnd(len(l.sums))
		if l.whole {
			break
		}
	}
	return l, nil
}
