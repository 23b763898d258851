package proof

import (
	"bytes"
	"cmp"
	"fmt"
	"html/template"
	"path"
	"slices"
	"strings"

	"golang.org/x/net/html"

	"voltwright/internal/finding"
)

// banded puts a head before the end of a page's head and a band at the start of its body, whatever template made the page.
func banded(page []byte, head, band []byte) []byte {
	var out bytes.Buffer
	out.Grow(len(page) + len(head) + len(band))
	reader := html.NewTokenizer(bytes.NewReader(page))
	headed, done := false, false
	at := 0 // what has been read of the page
	for !headed || !done {
		kind := reader.Next()
		if kind == html.ErrorToken {
			break // the end: a reader of bytes has no other
		}
		from := at
		at += len(reader.Raw())
		name, _ := reader.TagName()
		begins := kind == html.StartTagToken && string(name) == "body"
		if !headed && (kind == html.EndTagToken && string(name) == "head" || begins) {
			out.Write(head)
			headed = true
		}
		out.Write(page[from:at])
		if begins {
			out.Write(band)
			done = true
		}
	}
	out.Write(page[at:])
	if !headed {
		out.Write(head)
	}
	if !done { // a template without a body of its own
		out.Write(band)
	}
	return out.Bytes()
}

// view is what the templates of a trial print are filled with.
type view struct {
	Language, Title string
	Name            string // of the print, for the script
	Number, Shown   int
	State           string
	Refused         bool   // something in it keeps the journal from being published
	Summary         string // of the whole journal
	Groups          []group
	List            string // address of the whole list
	Front           string // address of the front page, "" where no sheet can be shown
	Own             string
}

// group is findings under one head.
type group struct {
	Head  string
	Class string
	Past  bool // it speaks of a version that another has taken the place of
	Open  bool // shown without being asked for
	Rows  []row
}

// row is a finding as it is shown.
type row struct {
	Word      string // the signal word, or else the level
	Class     string // of the signal word, "" for none
	Stops     bool   // it keeps the journal from being published
	Triangle  bool
	Text      template.HTML
	Remedy    template.HTML
	Answer    string
	Answering string // the line of an answer to it, but for its reason
	Place     string
	Subject   string
	Past      bool
	Href      string // where the site shows it
	Rule      string
	Why       string // where the rule is explained
	Came      bool
}

func (d *Server) view(p pulled, page string) view {
	v := view{Language: cmp.Or(p.Language, "en"), Title: p.Title, Name: d.name(p, page), Number: p.number, Shown: p.shown, Refused: p.Errors() > 0, List: own, Own: own}
	if p.site != nil {
		v.Front = d.Base
	}
	errors := count(p.Errors(), "error")
	switch {
	case p.site == nil:
		v.State = fmt.Sprintf("No sheet comes out yet: %s. Mend the first, and the rest may follow from it.", errors)
	case p.shown != p.number:
		v.State = fmt.Sprintf("It does not come out: %s. What you see is print %d.", errors, p.shown)
	case v.Refused:
		v.State = fmt.Sprintf("Publish would refuse it: %s.", errors)
	default:
		v.State = "Nothing keeps it from being published."
	}
	return v
}

// band is what stands at the head of a page. On the front page it lists, across all vehicles, what is open.
func (d *Server) band(p pulled, page string) []byte {
	v := d.view(p, page)
	mine, front, behind := p.site.About(page), page == frontPage, p.shown != p.number
	var errors, open, here []Remark
	for _, r := range seriously(p.Remarks) {
		concerns := slices.Contains(mine, r.Span.File())
		switch {
		case front && r.Open():
			open = append(open, r)
		case r.Level == finding.Error && (concerns || front || behind):
			errors = append(errors, r)
		case concerns:
			here = append(here, r)
		}
	}
	v.add(d, p, page, "To be mended first", "errors", true, errors)
	if front {
		v.Groups = append(v.Groups, group{Head: "Open DANGER and WARNING across the vehicles: " + cmp.Or(words(len(open)), "none"), Class: "open", Open: true, Rows: d.rows(p, open, page)})
		v.say(d, p, page)
	}
	came := slices.ContainsFunc(here, func(r Remark) bool { return r.Came })
	v.add(d, p, page, "What inspection says of this sheet: "+tally(here), "here", came, here)
	return render("band.html", v)
}

// say adds what would make answers surer.
func (v *view) say(d *Server, p pulled, page string) {
	if len(p.Next) == 0 {
		return
	}
	g := group{Head: fmt.Sprintf("What one more run would bring: %d", len(p.Next)), Class: "next"}
	for _, s := range p.Next {
		g.Rows = append(g.Rows, d.saying(p, s, page))
	}
	v.Groups = append(v.Groups, g)
}

// saying lays out what is no finding.
func (d *Server) saying(p pulled, s Saying, page string) row {
	out := row{Word: "to know", Subject: s.Subject, Text: coded(finding.Sentence(s.Text))}
	if p.site != nil && s.Page != "" {
		out.Href = d.address(s.Page, "", page)
	}
	return out
}

func words(n int) string {
	if n == 0 {
		return ""
	}
	return fmt.Sprint(n)
}

func (v *view) add(d *Server, p pulled, page, head, class string, open bool, remarks []Remark) {
	if len(remarks) > 0 {
		v.Groups = append(v.Groups, group{Head: head, Class: class, Open: open, Rows: d.rows(p, remarks, page)})
	}
}

// list is the page of all that inspection says, by what it speaks of: what has the worst stands first.
func (d *Server) list(p pulled) []byte {
	v := d.view(p, "")
	v.Summary = p.Summary
	at := map[string]int{}
	for _, r := range seriously(p.Remarks) {
		i, ok := at[r.Subject]
		if !ok {
			i = len(v.Groups)
			at[r.Subject] = i
			v.Groups = append(v.Groups, group{Head: r.Subject, Past: r.Past})
		}
		line := d.row(p, r, "")
		line.Subject = "" // it stands over them
		v.Groups[i].Rows = append(v.Groups[i].Rows, line)
	}
	v.say(d, p, "")
	return render("list.html", v)
}

func (d *Server) rows(p pulled, remarks []Remark, page string) []row {
	var out []row
	for _, r := range remarks {
		out = append(out, d.row(p, r, page))
	}
	return out
}

// row lays a finding out for a page; "" is the list of all.
func (d *Server) row(p pulled, r Remark, page string) row {
	word := cmp.Or(string(r.Signal), r.Level.String())
	out := row{Word: word, Class: strings.ToLower(string(r.Signal)), Stops: r.Level == finding.Error, Triangle: r.Signal != "" && r.Signal != finding.PropertyNotice,
		Text: coded(finding.Sentence(r.Text)), Remedy: coded(finding.Sentence(r.Remedy)), Place: strings.TrimSuffix(r.Span.Position().String(), ": "),
		Subject: r.Subject, Past: r.Past, Rule: r.Rule, Came: r.Came}
	if r.Answer != nil {
		out.Answer = finding.Sentence(r.Answer.Reason)
	} else if r.Numbers != "" {
		out.Answering = fmt.Sprintf("- {rule: %s, numbers: %q, reason: …}", r.Rule, r.Numbers)
	}
	if p.site == nil {
		return out
	}
	if at, anchor, ok := p.site.Where(r.Finding); ok {
		out.Href = d.address(at, anchor, page)
	}
	if why := p.Rule(r.Rule); why != "" {
		at, anchor, _ := strings.Cut(why, "#")
		out.Why = d.address(at, anchor, page)
	}
	return out
}

// address is where a page of the site stands, from the page that leads there; "" where that is the page itself.
func (d *Server) address(to, anchor, from string) string {
	href := ""
	if to != from {
		href = d.Base + strings.TrimSuffix(to, frontPage)
		if path.Base(to) != frontPage {
			href = d.Base + to
		}
	}
	if anchor != "" {
		href += "#" + anchor
	}
	return href
}

// seriously puts findings in the order in which a maker sees to them: errors, then by signal word and level; within each,
// versions that stand before those that others have taken the place of.
func seriously(remarks []Remark) []Remark {
	rank := func(r Remark) int {
		n := slices.Index([]finding.Signal{finding.Danger, finding.SignalWarning, finding.Caution, "", finding.PropertyNotice}, r.Signal)
		switch {
		case r.Level == finding.Error:
			n -= 10
		case r.Signal == "" && r.Level == finding.Note:
			n += 10
		}
		return n
	}
	past := func(r Remark) int {
		if r.Past {
			return 1
		}
		return 0
	}
	return slices.SortedStableFunc(slices.Values(remarks), func(a, b Remark) int {
		return cmp.Or(cmp.Compare(rank(a), rank(b)), cmp.Compare(past(a), past(b)))
	})
}

// coded sets what stands between backticks in the type of code.
func coded(text string) template.HTML { return template.HTML(finding.HTML(text)) }

// tally counts findings by level: "1 warning, 2 notes".
func tally(remarks []Remark) string {
	var said []string
	for _, level := range []finding.Level{finding.Error, finding.Warning, finding.Note} {
		n := 0
		for _, r := range remarks {
			if r.Level == level {
				n++
			}
		}
		if n > 0 {
			said = append(said, count(n, level.String()))
		}
	}
	return strings.Join(said, ", ")
}

func count(n int, singular string) string {
	if n == 1 {
		return "1 " + singular
	}
	return fmt.Sprintf("%d %ss", n, singular)
}
