package app

import (
	"bytes"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/txtar"

	"voltwright/internal/proof"
	"voltwright/internal/site"
	"voltwright/internal/store"
)

// heldJournal is the trolley of the keys with more in it that is held back, of every kind of note; the second folder is the same without.
func heldJournal(t *testing.T) (with, without string) {
	t.Helper()
	base, err := txtar.ParseFile("testdata/keys/trolley.txtar")
	if err != nil {
		t.Fatal(err)
	}
	more, err := txtar.ParseFile("testdata/held.txtar")
	if err != nil {
		t.Fatal(err)
	}
	parent := t.TempDir()
	with, without = filepath.Join(parent, "with"), filepath.Join(parent, "without")
	write := func(dir string, list []txtar.File) {
		for _, f := range list {
			if err := put(filepath.Join(dir, filepath.FromSlash(f.Name)), f.Data); err != nil {
				t.Fatal(err)
			}
		}
	}
	write(with, base.Files)
	write(without, base.Files)
	write(with, more.Files)
	for _, name := range []string{"trolley/2-wired/heldphoto.png", "trolley/3-heldversion/heldversion.png", "notes/heldnote.png"} {
		if err := put(filepath.Join(with, filepath.FromSlash(name)), smallPicture()); err != nil {
			t.Fatal(err)
		}
	}
	return with, without
}

// What is held back leaves no byte behind: site, bag and the list of what goes online are those of a folder without it, though a
// trial print has laid out all of it in between and what it kept was there to be taken.
func TestWhatIsHeldBackLeavesNothing(t *testing.T) {
	with, without := heldJournal(t)
	t.Setenv("XDG_CACHE_HOME", t.TempDir())
	wanted, got := t.TempDir(), t.TempDir()
	run(t, int(Clean), "publish", without, "--to", filepath.Join(wanted, "site"), "--no-store")
	run(t, int(Clean), "archive", "trolley/2-wired", "--journal", without, "--to", filepath.Join(wanted, "bag"), "--no-store")
	run(t, int(Clean), "inspect", with) // lays out all of it, and keeps that
	said := run(t, int(Clean), "publish", with, "--to", filepath.Join(got, "site"))
	run(t, int(Clean), "archive", "trolley/2-wired", "--journal", with, "--to", filepath.Join(got, "bag"))
	if !strings.Contains(said, "Held back: 8 notes.") {
		t.Errorf("publish does not say what is held back:\n%s", said)
	}
	for _, kind := range []string{"site", "bag"} {
		a, b := files(t, filepath.Join(wanted, kind)), files(t, filepath.Join(got, kind))
		if len(a) < 10 {
			t.Fatalf("the %s has %d files", kind, len(a))
		}
		for name, text := range b {
			if bytes.Contains(bytes.ToLower(text), []byte("heldword")) || strings.Contains(name, "held") {
				t.Errorf("%s of the %s has something that is held back", name, kind)
			}
			if kind == "site" && !bytes.Equal(a[name], text) {
				t.Errorf("%s of the site is not that of a folder without what is held back", name)
			}
		}
		if len(a) != len(b) {
			t.Errorf("the %s has %d files, without what is held back %d", kind, len(b), len(a))
		}
	}
	list := run(t, int(Clean), "inspect", with, "--outgoing")
	online, staying, _ := strings.Cut(list, "In the journal stay:")
	if strings.Contains(online, "held") || !strings.Contains(staying, "notes/heldnote.md") || !strings.Contains(staying, "trolley/2-wired/heldrun.csv") {
		t.Errorf("the list of what goes online:\n%s", list)
	}
}

// A trial print has what is held back, and its sheets say so.
func TestATrialPrintShowsWhatIsHeldBack(t *testing.T) {
	with, _ := heldJournal(t)
	p := setPrint(with, means{}, proof.Early{})
	if p.Site == nil {
		for _, r := range p.Remarks {
			t.Logf("%s: %s [%s]", r.Level, r.Text, r.Rule)
		}
		t.Fatal("no print")
	}
	for page, held := range map[string]bool{
		"notes/heldnote/index.html": true, "questions/heldquestion/index.html": true, "corrections/heldcorrection/index.html": true,
		"trolley/2-wired/heldrun/index.html": true, "trolley/3-heldversion/index.html": true, "trolley/3-heldversion/heldinner/index.html": true,
		"heldvehicle/index.html": true, "trolley/2-wired/index.html": false, "index.html": false,
	} {
		text, err := p.Site.(*site.Pages).Bytes(page)
		if err != nil {
			t.Errorf("%s: %v", page, err)
		}
		if got := bytes.Contains(text, []byte("HELD BACK")); got != held {
			t.Errorf("%s: says that it is held back: %v, want %v", page, got, held)
		}
	}
}

// Whatever leads to what is held back is told by the note that leads there, with the note that it means; nothing is written.
func TestWhatLeadsToHeldBackIsTold(t *testing.T) {
	kept, err := store.Open(filepath.Join(t.TempDir(), "store")) // what none of them changes is computed once
	if err != nil {
		t.Fatal(err)
	}
	for _, tt := range []struct{ file, from, to, means string }{
		{"trolley/vehicle.md", "It carries stones", "It [carries](../notes/heldnote.md) stones", "notes/heldnote.md"},
		{"trolley/vehicle.md", "It carries stones", "It [carries](2-wired/heldrun.md) stones", "trolley/2-wired/heldrun.md"},
		{"trolley/vehicle.md", "It carries stones", "It [carries](3-heldversion) stones", "trolley/3-heldversion/version.md"},
		{"trolley/2-wired/version.md", "It goes farther than", "It goes [31 min](value:heldrun/running-time) farther than", "trolley/2-wired/heldrun.md"},
		{"trolley/2-wired/version.md", "It goes farther than before", "It goes farther than before.\n\n![A line](plot:heldrun/voltage)\n\nSo it does", "trolley/2-wired/heldrun.md"},
		{"trolley/2-wired/version.md", "state: running", "state: running\ntaught-by: [heldrun]", "trolley/2-wired/heldrun.md"},
		{"trolley/4-after/version.md", "", "---\nkind: version\nname: After\ndate: 2026-05-01\nfollows: 3-heldversion\n---\n", "trolley/3-heldversion/version.md"},
		{"trolley/4-after/version.md", "", "---\nkind: version\nname: After\ndate: 2026-05-01\nlike: 3-heldversion\n---\n", "trolley/3-heldversion/version.md"},
		{"questions/other.md", "", "---\nkind: question\ntitle: How?\nbears: [trolley/2-wired/heldrun]\n---\n\nSo.\n", "trolley/2-wired/heldrun.md"},
		{"corrections/other.md", "", "---\nkind: correction\ntitle: Not so\ndate: 2026-05-02\nfound: by looking\nsaid: {in: notes/heldnote.md, words: HELDWORD}\n---\n\nSo.\n", "notes/heldnote.md"},
	} {
		t.Run(tt.to, func(t *testing.T) {
			with, _ := heldJournal(t)
			file := filepath.Join(with, filepath.FromSlash(tt.file))
			text := tt.to
			if tt.from != "" {
				old, err := os.ReadFile(file)
				if err != nil || !strings.Contains(string(old), tt.from) {
					t.Fatalf("%v: %s has no %q", err, tt.file, tt.from)
				}
				text = strings.Replace(string(old), tt.from, tt.to, 1)
			}
			if err := put(file, []byte(text)); err != nil {
				t.Fatal(err)
			}
			to := filepath.Join(t.TempDir(), "site")
			said := run(t, int(Findings), "publish", with, "--to", to)
			if _, err := os.Stat(to); err == nil {
				t.Error("a site was written")
			}
			if !strings.Contains(said, "leads to "+tt.means+", which is held back") || !strings.Contains(said, "take `held-back` out of") {
				t.Errorf("said:\n%s", said)
			}
			if strings.Contains(tt.to, "value:") { // which is found when all is computed
				return
			}
			p := setPrint(with, means{store: kept}, proof.Early{})
			if p.Site == nil || !slices.ContainsFunc(p.Remarks, func(r proof.Remark) bool { return r.Rule == ruleLeadsToHeld }) {
				t.Errorf("the trial print comes out: %v; it says: %v", p.Site != nil, p.Remarks)
			}
		})
	}
}

// A slip in a note that is held back is told by inspect and holds no publish up; a reply to a question that is held back is refused, as
// is the archive of such a version.
func TestHeldBackStandsInNobodysWay(t *testing.T) {
	with, _ := heldJournal(t)
	file := filepath.Join(with, "notes", "heldnote.md")
	old, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if err := put(file, append(old, "\n[nowhere](nowhere.md)\n"...)); err != nil {
		t.Fatal(err)
	}
	run(t, int(Clean), "publish", with, "--to", filepath.Join(t.TempDir(), "site"), "--no-store")
	said := run(t, int(Findings), "inspect", with, "--no-store", "--format", "lines")
	if !strings.Contains(said, "notes/heldnote.md:") || !strings.Contains(said, "broken-link") {
		t.Errorf("inspect says nothing of the slip:\n%s", said)
	}
	if said := run(t, int(Usage), "reply", "heldquestion", "--journal", with); !strings.Contains(said, "questions/heldquestion.md is held back") {
		t.Errorf("reply: %s", said)
	}
	if said := run(t, int(Usage), "archive", "trolley/3-heldversion", "--journal", with); !strings.Contains(said, "is held back") {
		t.Errorf("archive: %s", said)
	}
}
