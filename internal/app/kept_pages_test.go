package app

import (
	"bytes"
	"fmt"
	"io"
	"maps"
	"math/rand/v2"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"

	"voltwright/internal/finding"
	"voltwright/internal/journal"
	"voltwright/internal/notes"
	"voltwright/internal/site"
	"voltwright/internal/store"
)

// proseEdits are what is done to the body of a note of the demo.
var proseEdits = []struct {
	words string
	do    func(body string, random *rand.Rand) string
}{
	{"a sentence at its end", func(body string, random *rand.Rand) string {
		return body + fmt.Sprintf("\nAnd once more, %d.\n", random.IntN(1e6))
	}},
	{"a sentence before its beginning", func(body string, random *rand.Rand) string {
		return fmt.Sprintf("\nFirst of all, %d.\n", random.IntN(1e6)) + body
	}},
	{"a heading", func(body string, random *rand.Rand) string {
		return body + fmt.Sprintf("\n## What else %d\n\nThis.\n", random.IntN(1e6))
	}},
	{"a paragraph moved", func(body string, random *rand.Rand) string {
		parts := strings.Split(body, "\n\n")
		i, k := random.IntN(len(parts)), random.IntN(len(parts))
		parts[i], parts[k] = parts[k], parts[i]
		return strings.Join(parts, "\n\n")
	}},
	{"a paragraph gone", func(body string, random *rand.Rand) string {
		parts := strings.Split(body, "\n\n")
		return strings.Join(slices.Delete(parts, len(parts)-1, len(parts)), "\n\n") + "\n"
	}},
	{"a link to another page", func(body string, random *rand.Rand) string {
		return body + "\n[Another](/nothing.md) and [that](" + []string{"../notes/2025-05-11-why-a-cutout.md", "2025-05-11-why-a-cutout.md#why"}[random.IntN(2)] + ").\n"
	}},
	{"a false statement", func(body string, random *rand.Rand) string {
		return body + fmt.Sprintf("\nIt weighs [%d kg](value:masses.vehicle) and runs [%d min](value:run-time).\n", random.IntN(100), random.IntN(100))
	}},
	{"a number", func(body string, random *rand.Rand) string {
		at := strings.IndexAny(body, "123456789")
		if at < 0 {
			return body
		}
		return body[:at] + strconv.Itoa(1+random.IntN(9)) + body[at+1:]
	}},
}

// madeOf is all that a site is, and what was said of it.
func madeOf(t *testing.T, pages *site.Pages, findings *finding.List) map[string]string {
	t.Helper()
	out := map[string]string{}
	for _, name := range pages.Paths() {
		text, err := pages.Bytes(name)
		if err != nil {
			t.Fatal(err)
		}
		out[name] = fmt.Sprintf("%s %q", text, pages.About(name))
	}
	var said bytes.Buffer
	if err := finding.PrintLines(&said, findings.Sorted()); err != nil {
		t.Fatal(err)
	}
	out["findings"] = said.String()
	for i, f := range findings.Sorted() {
		page, anchor, ok := pages.Where(f)
		out[fmt.Sprint("where of finding ", i)] = fmt.Sprint(page, "#", anchor, ok)
	}
	went, err := pages.Outgoing()
	if err != nil {
		t.Fatal(err)
	}
	out["outgoing"] = fmt.Sprintf("%q", went)
	return out
}

// After any edits of prose, the pages that come from what is kept are those that are laid out anew, byte for byte, with all that the site
// knows of them; and most come from there. VOLTWRIGHT_EDITS is how many edits are made (6), VOLTWRIGHT_EDITS_SEED which.
func TestKeptPagesAreThoseLaidOut(t *testing.T) {
	n, seed := 6, 1
	for name, into := range map[string]*int{"VOLTWRIGHT_EDITS": &n, "VOLTWRIGHT_EDITS_SEED": &seed} {
		if v, err := strconv.Atoi(os.Getenv(name)); err == nil {
			*into = v
		}
	}
	random := rand.New(rand.NewPCG(uint64(seed), 16))
	dir := filepath.Join(t.TempDir(), "journal")
	if err := os.CopyFS(dir, os.DirFS("../../content")); err != nil {
		t.Fatal(err)
	}
	keptIn := filepath.Join(t.TempDir(), "store")
	kept, err := store.Open(keptIn)
	if err != nil {
		t.Fatal(err)
	}
	sound := map[string]string{}
	for _, name := range slices.Sorted(maps.Keys(filesOf(t, dir))) {
		if filepath.Ext(name) == ".md" {
			text, err := os.ReadFile(filepath.Join(dir, name))
			if err != nil {
				t.Fatal(err)
			}
			sound[name] = string(text)
		}
	}
	names := slices.Sorted(maps.Keys(sound))
	laidOut, found, all := 0, 0, 0
	for i := range n {
		words, name := "nothing", names[random.IntN(len(names))]
		if i > 0 && i < n-1 {
			e := proseEdits[random.IntN(len(proseEdits))]
			words = e.words
			if head, body, ok := strings.Cut(sound[name][3:], "\n---\n"); ok && strings.HasPrefix(sound[name], "---") {
				text := sound[name][:3] + head + "\n---\n" + e.do(body, random)
				if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o644); err != nil {
					t.Fatal(err)
				}
			}
		}
		var made [2]map[string]string
		for k := range made {
			folder, err := openJournal(dir)
			if err != nil {
				t.Fatal(err)
			}
			in := readFolder(dir, folder, means{store: kept})
			if in.findings.Count(finding.Error) > 0 {
				in.close()
				break
			}
			judge(in)
			input := siteInput(in, func(path string) (io.ReadCloser, error) { return in.folder.OpenFile(path) })
			input.KeepPages = k == 0
			pages, said, err := site.Build(input)
			if err != nil {
				t.Fatal(err)
			}
			in.findings.Add(said...)
			found += pages.Repeated()
			if laidOut > 0 { // before that nothing is kept
				all += pages.PageCount()
			}
			if i == n-1 && k == 0 { // what is kept is lost when it is needed: then it is made anew
				if err := os.RemoveAll(keptIn); err != nil {
					t.Fatal(err)
				}
			}
			made[k] = madeOf(t, pages, &in.findings)
			in.close()
		}
		if made[0] != nil {
			laidOut++
		}
		for _, what := range slices.Sorted(maps.Keys(made[1])) {
			if made[0][what] != made[1][what] {
				t.Errorf("edit %d, %s of %s: %s differs", i, words, name, what)
			}
		}
		if len(made[0]) != len(made[1]) {
			t.Errorf("edit %d, %s of %s: %d things are made, laid out anew %d", i, words, name, len(made[0]), len(made[1]))
		}
		if i == n-2 || random.IntN(2) == 0 || made[0] == nil { // back to what was sound
			if err := os.WriteFile(filepath.Join(dir, name), []byte(sound[name]), 0o644); err != nil {
				t.Fatal(err)
			}
		}
	}
	t.Logf("%d edits, %d sites; %d of %d pages were found", n, laidOut, found, all/2)
	if laidOut < n/2 || found < all/4 {
		t.Errorf("only %d of %d edits gave a site, and %d of %d pages were found", laidOut, n, found, all/2)
	}
}

// spelled writes all that a value holds by where it stands, but for prose, which Document and Text give, and for the texts that places stand in.
func spelled(v reflect.Value, at string, seen map[any]bool, into map[string]string) {
	switch v.Type() {
	case reflect.TypeFor[*notes.Document](), reflect.TypeFor[*finding.Source](), reflect.TypeFor[*notes.Folder](), reflect.TypeFor[*notes.Node]():
		return // of front matter, which does not change here
	}
	switch v.Kind() {
	case reflect.Pointer:
		if v.IsNil() || seen[v.Pointer()] {
			return
		}
		seen[v.Pointer()] = true
		spelled(v.Elem(), at, seen, into)
	case reflect.Interface:
		if !v.IsNil() {
			spelled(v.Elem(), at, seen, into)
		}
	case reflect.Struct:
		for i := range v.NumField() {
			name := v.Type().Field(i).Name
			if v.Type() == reflect.TypeFor[journal.Said]() && name == "spans" || v.Type() == reflect.TypeFor[sync.Map]() { // asked for by a function; filled when asked
				continue
			}
			if v.Type() == reflect.TypeFor[notes.Note]() && (name == "text" || name == "body" || name == "hearing") {
				continue
			}
			spelled(v.Field(i), at+"."+name, seen, into)
		}
	case reflect.Slice, reflect.Array:
		into[at+".len"] = fmt.Sprint(v.Len())
		for i := range v.Len() {
			spelled(v.Index(i), fmt.Sprintf("%s[%d]", at, i), seen, into)
		}
	case reflect.Map:
		for it := v.MapRange(); it.Next(); {
			spelled(it.Value(), fmt.Sprintf("%s[%v]", at, it.Key()), seen, into)
		}
	default:
		into[at] = fmt.Sprint(v)
	}
}

// What a journal holds beside the texts that are asked for by Document and Text does not change with prose, or is told among what all
// pages rest on: which files the prose names.
func TestProseIsReadByItsFunctions(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "journal")
	if err := os.CopyFS(dir, os.DirFS("../../content")); err != nil {
		t.Fatal(err)
	}
	hold := func() map[string]string {
		folder, err := openJournal(dir)
		if err != nil {
			t.Fatal(err)
		}
		defer folder.Close()
		out := map[string]string{}
		spelled(reflect.ValueOf(journal.Load(folder, &finding.List{})), "", map[any]bool{}, out)
		return out
	}
	before := hold()
	if len(before) < 5000 {
		t.Fatalf("only %d things are held", len(before))
	}
	changed := 0
	for name := range filesOf(t, dir) {
		text, err := os.ReadFile(filepath.Join(dir, name))
		if err != nil {
			t.Fatal(err)
		}
		if head, body, ok := bytes.Cut(text, []byte("\n---\n")); ok && filepath.Ext(name) == ".md" {
			text = fmt.Appendf(nil, "%s\n---\n\nFirst, a word and [a link](#there).\n%s\n\n## There\n\nAnd [a word](value:masses.vehicle) at last.\n", head, body)
			changed++
			if err := os.WriteFile(filepath.Join(dir, name), text, 0o644); err != nil {
				t.Fatal(err)
			}
		}
	}
	after := hold()
	told := func(at string) bool { return strings.HasPrefix(at, ".Used") }
	for _, at := range slices.Sorted(maps.Keys(before)) {
		if before[at] != after[at] && !told(at) {
			t.Errorf("%s was %q and is %q when prose has changed", at, before[at], after[at])
		}
	}
	if len(before) != len(after) || changed < 20 {
		t.Errorf("%d things are held, and %d after %d notes changed", len(before), len(after), changed)
	}
}
