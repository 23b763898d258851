package register

import (
	"bytes"
	"cmp"
	"fmt"
	"regexp"
	"slices"
	"strings"
	"unicode"

	"golang.org/x/text/collate"
	"golang.org/x/text/language"
	"golang.org/x/text/unicode/norm"
)

// Letter is the part of the register under one letter.
type Letter struct {
	Letter  string // "A"; "0–9" for what begins with no letter
	Anchor  string // "letter-a"
	Entries []Entry
}

// Entry is one line of the register: a word, and where it stands.
type Entry struct {
	Words  string
	Anchor string // of the line itself, where another refers to it
	At     string // the page, where the words are the link; "" where Stands has the links
	See    *Stand // the line under which the word is kept
	Stands []Stand
}

// Stand is one place where a word stands.
type Stand struct{ Words, At string }

// most is how many places a line names: who wants them all asks the search.
const most = 8

// Alphabet makes the register: the words of the trade, the titles of sheets, the headings of their parts and the names
// in their tables, in the order of the language. Where several sheets of a family have a heading, the newest stands for
// them; a word of the trade is looked for in titles, headings and opening sentences, newest first.
func Alphabet(sheets []Sheet, trade []Word, glossary, lang string) []Letter {
	a := &alphabet{byKey: map[string]*Entry{}, order: collate.New(language.Make(lang), collate.IgnoreCase, collate.Numeric)}
	newest, furniture := newestFirst(sheets), furniture(sheets)
	a.trade(newest, trade, glossary)
	seen := map[string]bool{}
	for _, s := range newest {
		if s.Title != "" {
			a.add(filed(s.Title)).At = s.Path
		}
		for _, p := range s.Places {
			if p.Anchor == "" || p.Heading == "" || p.Under == rests || numbered.MatchString(p.Heading) || furniture[headingOf{s.Kind, p.Heading}] {
				continue
			}
			if once := p.Heading + "\x00" + or(s.Family, s.Path); !seen[once] {
				seen[once] = true
				a.stand(p.Heading, or(s.Short, s.Title), s.Path+"#"+p.Anchor)
			}
		}
	}
	return a.letters()
}

// newestFirst puts the sheets of each family in the places that the family has, the newest first.
func newestFirst(sheets []Sheet) []Sheet {
	families := map[string][]Sheet{}
	for _, s := range sheets {
		families[s.Family] = append(families[s.Family], s)
	}
	for name, family := range families {
		if name != "" {
			slices.SortStableFunc(family, func(x, y Sheet) int { return cmp.Compare(y.Order, x.Order) })
		}
	}
	out := make([]Sheet, 0, len(sheets))
	for _, s := range sheets {
		out = append(out, families[s.Family][0])
		families[s.Family] = families[s.Family][1:]
	}
	return out
}

type headingOf struct{ kind, heading string }

// furniture are the headings that half or more of the sheets of a kind have because they are of that kind, such as "Also
// asked as" of questions. They name no subject. Of a family one sheet stands for all in any case.
func furniture(sheets []Sheet) map[headingOf]bool {
	kinds, have := map[string]int{}, map[headingOf]int{}
	for _, s := range sheets {
		if s.Family != "" {
			continue
		}
		kinds[s.Kind]++
		seen := map[string]bool{}
		for _, p := range s.Places {
			if !seen[p.Heading] {
				seen[p.Heading] = true
				have[headingOf{s.Kind, p.Heading}]++
			}
		}
	}
	out := map[headingOf]bool{}
	for h, n := range have {
		out[h] = n > 1 && 2*n >= kinds[h.kind]
	}
	return out
}

// rests is the heading of what a page's text rests on; its parts repeat the text.
const rests = "What the text rests on"

// numbered are the headings that say nothing away from their page: "Table 3", "W12", "47 min".
var numbered = regexp.MustCompile(`^(?:\p{L}+ \d+|\P{Ll}*|[-\d.,±() ]+\P{L}*\p{L}{0,3}\P{L}*)$`)

type alphabet struct {
	byKey map[string]*Entry
	all   []*Entry
	order *collate.Collator
}

func (a *alphabet) add(words string) *Entry {
	key := strings.ToLower(words)
	e, ok := a.byKey[key]
	if !ok {
		e = &Entry{Words: words}
		a.byKey[key], a.all = e, append(a.all, e)
	}
	return e
}

// stand adds a place to a line, as long as it has not too many; of one sheet the first.
func (a *alphabet) stand(words, short, at string) {
	e := a.add(words)
	page, _, _ := strings.Cut(at, "#")
	for _, have := range e.Stands {
		if other, _, _ := strings.Cut(have.At, "#"); other == page {
			return
		}
	}
	if len(e.Stands) < most {
		e.Stands = append(e.Stands, Stand{short, at})
	}
}

func (a *alphabet) trade(sheets []Sheet, trade []Word, glossary string) {
	said := make([][]saying, len(sheets))
	for i := range sheets {
		said[i] = sheets[i].sayings()
	}
	for _, w := range trade {
		e := a.add(w.Word)
		e.Anchor = w.Anchor
		e.Stands = append(e.Stands, Stand{"meaning", glossary + "#" + w.Anchor})
		var forms []string
		for _, form := range append([]string{w.Word}, w.Also...) {
			forms = append(forms, bareWords(form))
		}
		seen := map[string]bool{}
		for i, s := range sheets {
			if s.Path == glossary || s.Family != "" && seen[s.Family] {
				continue
			}
			at := slices.IndexFunc(said[i], func(one saying) bool {
				return slices.ContainsFunc(forms, func(form string) bool { return strings.Contains(one.words, form) })
			})
			if at >= 0 {
				seen[s.Family] = true
				a.stand(w.Word, or(s.Short, s.Title), s.Path+said[i][at].anchor)
			}
		}
	}
	for _, w := range trade { // when all words have their lines
		for _, also := range w.Also {
			if _, taken := a.byKey[strings.ToLower(also)]; !taken {
				a.add(also).See = &Stand{w.Word, "#" + w.Anchor}
			}
		}
	}
}

// saying is a title, a heading or a text of the opening, for the words in it.
type saying struct{ anchor, words string }

func (s *Sheet) sayings() []saying {
	all := []saying{{"", bareWords(s.Title)}}
	for _, p := range s.Places {
		if p.Anchor == "" {
			all = append(all, saying{"", bareWords(strings.Join(p.Texts, " | "))})
			continue
		}
		all = append(all, saying{"#" + p.Anchor, bareWords(strings.Join(append([]string{p.Heading}, p.Heads...), " | "))})
	}
	return all
}

// bareWords are the words of a text between single spaces, in lower case and without the s of a plural.
func bareWords(text string) string {
	var b strings.Builder
	b.WriteByte(' ')
	for _, w := range strings.FieldsFunc(strings.ToLower(text), func(r rune) bool { return r != '|' && !unicode.IsLetter(r) && !unicode.IsDigit(r) }) {
		if len(w) > 3 {
			w = strings.TrimSuffix(w, "s")
		}
		b.WriteString(w)
		b.WriteByte(' ')
	}
	return b.String()
}

// articles stand behind the word by which a title is filed.
var articles = []string{"The ", "A ", "An "}

// filed is a short title as it is filed: "shunter, The". A sentence stays as it is.
func filed(title string) string {
	name, rest, colon := strings.Cut(title, ": ")
	if bare := bare(name); bare != name && len(strings.Fields(name)) < 5 {
		name = bare + ", " + strings.TrimSpace(strings.TrimSuffix(name, bare))
	}
	if colon {
		name += ": " + rest
	}
	return name
}

// bare is a title without its article: it is put in order by that.
func bare(title string) string {
	for _, article := range articles {
		if rest, ok := strings.CutPrefix(title, article); ok {
			return rest
		}
	}
	return title
}

// letters puts the lines in order under their letters.
func (a *alphabet) letters() []Letter {
	type place struct{ letter, words []byte } // keys of the collation
	var room collate.Buffer
	at := make(map[*Entry]place, len(a.all))
	for _, e := range a.all {
		words := bare(e.Words)
		at[e] = place{a.order.KeyFromString(&room, letterOf(words)), a.order.KeyFromString(&room, words)}
	}
	slices.SortStableFunc(a.all, func(x, y *Entry) int {
		p, q := at[x], at[y]
		return cmp.Or(bytes.Compare(p.letter, q.letter), bytes.Compare(p.words, q.words), cmp.Compare(x.Words, y.Words))
	})
	var out []Letter
	for _, e := range a.all {
		l := letterOf(bare(e.Words))
		if len(out) == 0 || out[len(out)-1].Letter != l {
			out = append(out, Letter{Letter: l, Anchor: fmt.Sprintf("letter-%s", strings.ToLower(strings.NewReplacer("–", "-").Replace(l)))})
		}
		last := &out[len(out)-1]
		last.Entries = append(last.Entries, *e)
	}
	return out
}

// letterOf is the letter under which words are filed, without accents.
func letterOf(words string) string {
	for _, r := range norm.NFD.String(words) {
		switch {
		case unicode.IsLetter(r):
			return string(unicode.ToUpper(r))
		case unicode.IsDigit(r):
			return "0–9"
		}
	}
	return "0–9"
}
