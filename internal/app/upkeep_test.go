package app

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/txtar"
)

// publishedTrolley is the trolley's site with words put behind lines of its notes: file, line, what follows it.
func publishedTrolley(t *testing.T, changes ...[3]string) string {
	t.Helper()
	base, err := txtar.ParseFile("testdata/keys/trolley.txtar")
	if err != nil {
		t.Fatal(err)
	}
	parent := t.TempDir()
	dir, to := filepath.Join(parent, "journal"), filepath.Join(parent, "site")
	for _, f := range base.Files {
		text := string(f.Data)
		for _, c := range changes {
			if c[0] != f.Name {
				continue
			}
			if !strings.Contains(text, c[1]+"\n") {
				t.Fatalf("%s has no line %q", f.Name, c[1])
			}
			text = strings.Replace(text, c[1]+"\n", c[1]+"\n"+c[2]+"\n", 1)
		}
		if err := put(filepath.Join(dir, filepath.FromSlash(f.Name)), []byte(text)); err != nil {
			t.Fatal(err)
		}
	}
	run(t, int(Clean), "publish", dir, "--to", to, "--no-store")
	return to
}

// pageWords are what a page of a site says, in one line.
func pageWords(t *testing.T, site, page string) string {
	t.Helper()
	text, err := os.ReadFile(filepath.Join(site, filepath.FromSlash(page)))
	if err != nil {
		t.Fatal(err)
	}
	return strings.ReplaceAll(strings.Join(strings.Fields(tag.ReplaceAllString(string(text), " ")), " "), " ,", ",")
}

// The sheet of a vehicle has what its note states; what failed stands on its page with the version, and on the version's without it,
// runs that fell short among it, the newest first; work and what is to do have their lists.
func TestPagesShowUpkeep(t *testing.T) {
	site := publishedTrolley(t,
		[3]string{"trolley/vehicle.md", "summary: Carries stones.", `year: 1987
gauge: 184 mm
seats: 2
wheels: four of iron
tyres: none
transmission: one chain
runs-at: the orchard line
maintenance: [{date: 2026-01-02, what: chain oiled, hours-run: 12 h}, {date: 2026-03-04, what: brake set, hours-run: 20 h}]
to-do: [a lid, a bell]`},
		[3]string{"trolley/2-wired/version.md", "state: running", `failures: [{date: 2026-01-20, part: motor fuse, what: blew on the ramp, why: too small, learned: by the ramp's current}]
to-do: [a longer lead]`},
		[3]string{"trolley/2-wired/field.md", "summary: A dry day.", `outcome: broken-off
learned: look at the points first`},
		[3]string{"trolley/2-wired/laps.md", "pause-after: 10 s", `outcome: failed
ended: the chain came off`},
	)
	for page, wanted := range map[string][]string{
		"trolley/index.html": {"The vehicle Year 1987, gauge 184 mm, wheels four of iron.", "Tyres none", "Transmission one chain", "Seats 2", "Where it runs the orchard line",
			"2 failures, 1 run broken off, the last on 20 February 2026: A run failed.",
			"A run failed version 2, Laps by the clock, 20 February 2026 Why: the chain came off A run broken off version 2, Round the line, 1 February 2026 Why: the tea was ready Learned: look at the points first blew on the ramp version 2, motor fuse, 20 January 2026 Why: too small Learned: by the ramp's current",
			"Last on 4 March 2026: Brake set.", "4 March 2026 brake set 20 h 2 January 2026 chain oiled 12 h", "A lid. And 1 more.", "A bell."},
		"trolley/2-wired/index.html":       {"A run failed Laps by the clock, 20 February 2026", "blew on the ramp motor fuse, 20 January 2026", "Still to do A longer lead."},
		"trolley/2-wired/field/index.html": {"Broken off: the tea was ready.", "Learned: Look at the points first.", "Outcome Somebody or the weather ended it before."},
		"trolley/2-wired/laps/index.html":  {"Failed: the chain came off."},
	} {
		said := strings.NewReplacer("&#39;", "'", "\u202f", " ", "\u00a0", " ").Replace(pageWords(t, site, page))
		for _, want := range wanted {
			if !strings.Contains(said, want) {
				t.Errorf("%s does not say %q:\n%s", page, want, said)
			}
		}
	}
	if said := pageWords(t, site, "trolley/1-before/index.html"); strings.Contains(said, "What failed") || strings.Contains(said, "Still to do") {
		t.Error("a version in which nothing failed has a list of failures")
	}
}

// Every subject has a page with all that is about it, the newest first, and a feed; the note links there. Names that make one address are
// one subject, and a journal without subjects has no such page.
func TestSubjectsHavePagesAndFeeds(t *testing.T) {
	site := publishedTrolley(t,
		[3]string{"notes/2026-03-01-why.md", "date: 2026-03-01", "subjects: [Loads, the Räder]"},
		[3]string{"questions/how-far.md", "rank: 3", "subjects: loads"},
		[3]string{"trolley/2-wired/field.md", "date: 2026-02-01", "subjects: [loads]"},
		[3]string{"trolley/2-wired/version.md", "date: 2026-01-11", "subjects: [loads]"},
	)
	if said := pageWords(t, site, "subjects/index.html"); !strings.Contains(said, "2 subjects that notes of this journal name. ") || !strings.Contains(said, "4 sheets") || !strings.Contains(said, "the Räder 1 sheet") {
		t.Errorf("the list of subjects: %s", said)
	}
	said := pageWords(t, site, "subjects/loads/index.html")
	last := -1
	for _, want := range []string{"4 sheets about it, the newest first.", "Why stones Note, 1 March 2026", "Round the line Field run, The trolley, version 2, 1 February 2026", "The version with its wiring Version, The trolley, version 2, 11 January 2026", "How far does it go? Question"} {
		at := strings.Index(said, want)
		if at <= last {
			t.Errorf("the page of a subject does not say %q in its place:\n%s", want, said)
		}
		last = at
	}
	feed, err := os.ReadFile(filepath.Join(site, "subjects/loads/feed.xml"))
	if err != nil {
		t.Fatal(err)
	}
	if n := strings.Count(string(feed), "<entry>"); n != 4 {
		t.Errorf("the feed of a subject has %d entries:\n%s", n, feed)
	}
	if strings.Contains(string(feed), "More stones") || !strings.Contains(string(feed), "Why stones") {
		t.Errorf("the feed of a subject: %s", feed)
	}
	page, err := os.ReadFile(filepath.Join(site, "notes/2026-03-01-why/index.html"))
	if err != nil || !strings.Contains(string(page), `<a href="../../subjects/the-raeder/index.html">`) {
		t.Errorf("%v: the note does not link to its subjects", err)
	}
	if _, err := os.Stat(filepath.Join(publishedTrolley(t), "subjects")); err == nil {
		t.Error("a journal without subjects has a list of them")
	}
}
