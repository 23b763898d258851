package frame

import "voltwright/internal/site/numeral"

// Leaf is a part of a page that folds. Its face says in one line what most readers would open it for.
type Leaf struct {
	At     string // anchor of what folds: a link to it, or to anything in it, opens the leaf
	Letter string // for the eye; "" where the page has none
	Title  string
	Face   []numeral.Phrase
}

// NewLeaf makes a leaf. Its face is pressed as a whole, so nothing in it leads anywhere.
func NewLeaf(at, letter, title string, face ...numeral.Phrase) Leaf {
	l := Leaf{At: at, Letter: letter, Title: title}
	for _, p := range face {
		p.Href, p.Text = "", numeral.Unbroken(p.Text)
		if p.Num != nil {
			n := numeral.Bare(*p.Num)
			n.Href, n.Twin = "", ""
			p.Num = &n
		}
		l.Face = append(l.Face, p)
	}
	return l
}

// Leaves are the leaves of a page by their anchors.
type Leaves map[string]Leaf

// Add puts a leaf among them.
func (l Leaves) Add(at, letter, title string, face ...numeral.Phrase) {
	l[at] = NewLeaf(at, letter, title, face...)
}

// UnjudgedLeaf, RemarksLeaf and RestsLeaf are leaves that many pages have.
func (s *Sheet) UnjudgedLeaf() Leaf {
	return NewLeaf("unjudged", "", "Cannot judge", numeral.Say(numeral.Count(len(s.Unjudged), "thing")+" that no rule of safety can judge here, for want of a value."))
}

// PhotosLeaf is the gallery.
func (s *Sheet) PhotosLeaf() Leaf {
	return NewLeaf("photos", "", "Photos", numeral.Say(numeral.Count(len(s.Gallery), "photo")+"."))
}

// RemarksLeaf is what inspection said beside the callouts.
func (s *Sheet) RemarksLeaf() Leaf {
	levels := map[string]int{}
	var order []string
	for _, r := range s.Remarks {
		if levels[r.Level] == 0 {
			order = append(order, r.Level)
		}
		levels[r.Level]++
	}
	said := ""
	for i, level := range order {
		if i > 0 {
			said += ", "
		}
		said += numeral.Count(levels[level], level)
	}
	return NewLeaf("inspection", "", "What inspection said", numeral.Say(said+"."))
}

// RestsLeaf is what the text rests on beside runs and specs.
func (s *Sheet) RestsLeaf() Leaf {
	said := ""
	add := func(n int, one string) {
		if n == 0 {
			return
		}
		if said != "" {
			said += ", "
		}
		said += numeral.Count(n, one)
	}
	if r := s.Rests; r != nil {
		add(len(r.Compared), "comparison")
		add(len(r.Facts), "fact")
		add(len(r.Sources), "source")
	}
	return NewLeaf("rests-on", "", "What the text rests on", numeral.Say(said+"."))
}
