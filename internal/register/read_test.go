package register

import (
	"fmt"
	"reflect"
	"strings"
	"testing"
)

func readOf(t *testing.T, body string) *Sheet {
	t.Helper()
	s := &Sheet{Path: "cart/index.html"}
	if err := s.Read([]byte(`<!doctype html><html><head><title>No</title></head><body><header>no</header><main>` + body + `</main><footer>no</footer></body></html>`)); err != nil {
		t.Fatal(err)
	}
	return s
}

// A page is cut at its anchors; each row is a place and what it says.
func TestReadCutsAtAnchors(t *testing.T) {
	for _, c := range []struct{ name, body, want string }{
		{"opening", `<h1>The cart</h1><p>It  goes.</p>`, `# | It goes.`},
		{"section", `<p>A</p><section id="s"><h2>Story <a class="here" href="#s">§</a></h2><p>B</p></section><p>C</p>`, `# | A | C; #s Story | B`},
		{"a further heading", `<section id="s"><h2>Spec</h2><h3>Pack</h3><dl><div><dt>Capacity</dt><dd>20 Ah</dd></div></dl></section>`, `#s Spec + Pack | Capacity: 20 Ah`},
		{"a heading with an anchor", `<section id="s"><h2>Story</h2><p>A</p><h3 id="h">Why</h3><p>B</p></section>`, `#s Story | A; #h Why < Story | B`},
		{"a row", `<section id="s"><h2>Drive</h2><table id="t"><caption><b>Table 1.</b> Figures.</caption><tr><th scope="col">Figure</th><th>Unit</th></tr><tr id="r"><th scope="row">Top speed<span class="why">stops out</span></th>` +
			`<td class="q">6<span class="f">.3</span></td><td class="pmq">± 0.4</td><td class="u">km/h</td></tr></table></section>`,
			`#s Drive; #t Table 1 < Drive | Table 1. Figures. | Figure, Unit; #r Top speed < Drive | Top speed: 6.3 ± 0.4 km/h; stops out`},
		{"units in the head", `<table id="t"><tr><th scope="row">W1</th><td data-is="from">pack +</td><td data-is="length, mm">120</td><td data-is="One pack, 20 Ah">2 h</td></tr></table>`, `#t | W1: from pack +, length 120 mm, One pack, 20 Ah: 2 h`},
		{"a figure", `<figure id="f"><svg><text>no</text></svg><details><table><tr><td>1</td></tr></table></details><figcaption><b>Figure 2.</b> Voltage.</figcaption></figure>`, `#f Figure 2 | Figure 2. Voltage.`},
		{"what is silent", `<nav><a href="#x">no</a></nav><p hidden>no</p><p aria-hidden="true">no</p><form><label>Range <input value="no"></label><button>no</button></form><script type="application/json">{"no":1}</script><p>so<span class="says"> [no]</span></p>`, `# | Range | so`},
		{"a list of the page's parts", `<section id="i"><h2>On this sheet</h2><ul><li><a href="#a">A</a></li></ul></section><ul><li><a href="b.html">B</a></li></ul>`, `# | B`},
		{"labels set apart by style alone", `<ul><li><b>note</b>There is <b>41</b>°C in <a href="x">a</a>bc</li></ul>`, `# | note There is 41°C in a bc`},
		{"a place in a place", `<section id="s"><h2>A</h2><p>one</p><div id="d"><dl><dt>Key</dt><dd>v</dd></dl></div><p>two</p></section>`, `#s A | one | two; #d Key < A | Key: v`},
		{"nothing", ``, ``},
		{"broken markup", `<section id="s"><h2>A</h2><p>one<p>two</section></section>`, `#s A | one | two`},
	} {
		var got []string
		for _, p := range readOf(t, c.body).Places {
			if p.Anchor == "" && len(p.Texts) == 0 { // every sheet has its opening, by which its title is found
				continue
			}
			line := "#" + p.Anchor
			if p.Heading != "" {
				line += " " + p.Heading
			}
			if p.Under != "" {
				line += " < " + p.Under
			}
			for _, h := range p.Heads {
				line += " + " + h
			}
			for _, x := range p.Texts {
				line += " | " + x
			}
			got = append(got, line)
		}
		if text := strings.Join(got, "; "); text != c.want {
			t.Errorf("%s:\n got %s\nwant %s", c.name, text, c.want)
		}
	}
}

func TestReadTakesTheTitlesOfASheet(t *testing.T) {
	s := readOf(t, `<h1>How long?</h1><section id="asked"><h2>Also asked as</h2><ul class="shelf asked"><li>What is its run time?</li> <li>Will it last?</li></ul></section>`)
	if s.Title != "How long?" || !reflect.DeepEqual(s.Also, []string{"What is its run time?", "Will it last?"}) || len(s.Places) != 1 {
		t.Errorf("%+v", s)
	}
}

// What is said twice stands in the index once, and the same sheets give the same bytes.
func TestIndexHasATextOnce(t *testing.T) {
	var sheets []Sheet
	for i := range 3 {
		s := readOf(t, `<h1>A</h1><p>Fuse every pack.</p><p>`+fmt.Sprint(i)+`</p>`)
		s.Path = fmt.Sprintf("%d/index.html", i)
		sheets = append(sheets, *s)
	}
	a, parts, err := Index(sheets, []Word{{Word: "pack", Also: []string{"battery"}}}, nil)
	if err != nil {
		t.Fatal(err)
	}
	b, again, _ := Index(sheets, []Word{{Word: "pack", Also: []string{"battery"}}}, nil)
	if string(a) != string(b) || strings.Count(string(a), "Fuse every pack.") != 1 || len(parts) != 1 || string(parts[0]) != string(again[0]) {
		t.Errorf("%s and %s", a, parts)
	}
	if got, want := string(parts[0]), `(self.voltwrightTexts ||= {})[0] = ["0","1","2"]`+"\n"; got != want {
		t.Errorf("got  %s\nwant %s", got, want)
	}
	want := `self.voltwrightIndex = {"sheets":[{"p":"0/","k":"","t":"A"},{"p":"1/","k":"","t":"A"},{"p":"2/","k":"","t":"A"}],"texts":["","Fuse every pack."],` +
		`"places":[[0,"",0,0,[],[1,2]],[1,"",0,0,[],[1,3]],[2,"",0,0,[],[1,4]]],"words":[["pack","battery"]],"parts":1}` + "\n"
	if string(a) != want {
		t.Errorf("got  %s\nwant %s", a, want)
	}
}

func FuzzRead(f *testing.F) {
	f.Add(`<h1>A</h1><section id="s"><h2>B</h2><table id="t"><tr id="r"><th scope="row">x</th><td data-is="a, b">1</td></tr></table></section>`)
	f.Add(`<ul class="asked"><li>a</ul><dt>x<dd>y<figure id=f><details id=d><summary>s`)
	f.Fuzz(func(t *testing.T, body string) {
		s := Sheet{Path: "a/index.html"}
		if s.Read([]byte("<main>"+body)) != nil {
			return
		}
		for _, p := range s.Places {
			for _, text := range append(p.Texts, p.Heading) {
				if text != strings.Join(strings.Fields(text), " ") {
					t.Errorf("%q has loose spaces", text)
				}
			}
		}
	})
}
