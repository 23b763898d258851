package app

import (
	"encoding/json"
	"fmt"
	"io"
	"path"
	"slices"
	"strings"

	"voltwright/internal/finding"
	"voltwright/internal/site"
)

// goingOnline is a file as publish would write it.
type goingOnline struct {
	Path    string   `json:"path"`           // on the site
	From    string   `json:"from,omitempty"` // in the journal; none for what the program makes
	Without []string `json:"without"`        // what it loses, in words
}

// stayingBehind is a file of the journal that publish would not write.
type stayingBehind struct {
	Path string `json:"path"`
	Why  string `json:"why"`
	Rule string `json:"rule,omitempty"`
}

// outgoingList is what would become of every file.
type outgoingList struct {
	Online  []goingOnline   `json:"online"`
	Staying []stayingBehind `json:"staying"`
}

// listOutgoing prints what would go online. The list is made by the pages that publish writes.
func listOutgoing(w io.Writer, in *inspected, pages *site.Pages, format string) error {
	if in.findings.Count(finding.Error) > 0 || pages == nil {
		if err := finding.PrintLines(w, in.findings.Sorted()); err != nil {
			return unreached(err)
		}
		fmt.Fprintf(w, "Nothing would go online: %s.\n", verdict(&in.findings))
		return foundErrors
	}
	all, err := pages.Outgoing()
	if err != nil {
		return unreached(err)
	}
	list := sortOutgoing(in, all)
	if format == "json" {
		text, err := json.MarshalIndent(list, "", " ")
		if err == nil {
			_, err = fmt.Fprintf(w, "%s\n", text)
		}
		return unreachedIf(err)
	}
	return unreachedIf(list.print(w))
}

func unreachedIf(err error) error {
	if err != nil {
		return unreached(err)
	}
	return nil
}

func sortOutgoing(in *inspected, all []site.Outgoing) outgoingList {
	list := outgoingList{Online: []goingOnline{}, Staying: []stayingBehind{}}
	told := map[string]bool{}
	for _, o := range all {
		told[o.From] = true
		if o.To == "" {
			list.Staying = append(list.Staying, stayingBehind{o.From, o.Why, o.Rule})
			continue
		}
		list.Online = append(list.Online, goingOnline{o.To, o.From, append([]string{}, o.Taken...)})
	}
	for _, f := range in.folder.Files() {
		if _, isNote := in.journal.PlaceOf(f.Path); told[f.Path] || isNote || path.Ext(f.Path) == ".md" || strings.HasPrefix(f.Path, themesFolder+"/") {
			continue
		}
		if f.Path == in.journal.Note.Path {
			continue
		}
		list.Staying = append(list.Staying, stayingBehind{Path: f.Path, Why: "no page asks for it"})
	}
	for _, file := range in.held.All() {
		list.Staying = append(list.Staying, stayingBehind{Path: file, Why: "it is held back"})
	}
	slices.SortStableFunc(list.Staying, func(a, b stayingBehind) int { return strings.Compare(a.Path, b.Path) })
	return list
}

func (l outgoingList) print(w io.Writer) error {
	var b strings.Builder
	made := 0
	fmt.Fprintln(&b, "From the journal go online:")
	for _, o := range l.Online {
		if o.From == "" {
			made++
			continue
		}
		fmt.Fprintf(&b, "  %s\n    from %s\n", o.Path, o.From)
		for _, what := range o.Without {
			fmt.Fprintf(&b, "    without %s\n", what)
		}
	}
	fmt.Fprintf(&b, "Made by the program from the notes, the results and its themes, %s:\n", count(made, "file"))
	for _, o := range l.Online {
		if o.From == "" {
			fmt.Fprintf(&b, "  %s\n", o.Path)
		}
	}
	fmt.Fprintln(&b, "In the journal stay:")
	for _, s := range l.Staying {
		rule := ""
		if s.Rule != "" {
			rule = " [" + s.Rule + "]"
		}
		fmt.Fprintf(&b, "  %s: %s%s\n", s.Path, s.Why, rule)
	}
	_, err := io.WriteString(w, b.String())
	return err
}
