package runlog

import (
	"encoding/csv"
	"fmt"
	"maps"
	"os"
	"slices"
	"strings"
	"testing"

	"voltwright/internal/recorded"
)

// headMeaning is what a head says by itself: its channel, or "state", "position" or nothing, and its unit.
func headMeaning(name string) (meaning, unit string) {
	h := parseHead(name)
	if h.unit != nil {
		unit = h.unit.Symbol()
	}
	if lat, long := h.position(); lat || long {
		return "position", ""
	}
	c, score := h.channel()
	if score < leastScore {
		return "", unit
	}
	return c.String(), unit
}

// TestHeadsByWholeWords: several hundred heads, those of the data sets and others as instruments and loggers of any make name
// things, with the channel and the unit that each says by its whole words. The table was read through row by row: a channel
// that a letter within a word gave would stand out in it. An empty channel means that a head names none.
func TestHeadsByWholeWords(t *testing.T) {
	const path = "testdata/heads.csv"
	rows := recorded.Rows(t, path)
	if len(rows) < 400 {
		t.Fatalf("%d heads; the table has lost some", len(rows))
	}
	var out strings.Builder
	w := csv.NewWriter(&out)
	_ = w.Write(rows[0])
	for _, r := range rows[1:] {
		meaning, unit := headMeaning(r[0])
		_ = w.Write([]string{r[0], meaning, unit})
		if !recorded.Updating() && (meaning != r[1] || unit != r[2]) {
			t.Errorf("%q says %q in %q, want %q in %q", r[0], meaning, unit, r[1], r[2])
		}
	}
	w.Flush()
	if recorded.Updating() {
		if err := os.WriteFile(path, []byte(out.String()), 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

// ranked tells of heads that name a channel which is taken where a log has several: by channel, the surest first, and
// together what nothing tells apart.
func ranked(heads []string) string {
	type rank struct {
		channel Channel
		score   int
	}
	by := map[rank][]string{}
	var none []string
	for _, name := range heads {
		h := parseHead(name)
		if c, score := h.channel(); score >= leastScore {
			by[rank{c, score}] = append(by[rank{c, score}], name)
		} else {
			none = append(none, name)
		}
	}
	var b strings.Builder
	for c := Time; int(c) < channelCount; c++ {
		for score := 100; score >= leastScore; score-- {
			if names := by[rank{c, score}]; names != nil {
				fmt.Fprintf(&b, "%s: %s\n", c, strings.Join(names, " | "))
			}
		}
	}
	fmt.Fprintf(&b, "none: %s\n", strings.Join(none, " | "))
	return b.String()
}

// TestWhichOfTwo: of two columns that could be one channel, which is taken. Every word that names a channel stands there alone,
// every word that says which of several within a long head, and every head of heads.csv.
func TestWhichOfTwo(t *testing.T) {
	rows := recorded.Rows(t, "testdata/heads.csv")
	var heads []string
	for _, r := range rows[1:] {
		heads = append(heads, r[0])
	}
	words := slices.Sorted(maps.Keys(nouns))
	words = append(words, slices.Sorted(maps.Keys(letters))...)
	var within, ofTime []string
	for _, q := range slices.Sorted(maps.Keys(qualifiers)) {
		within = append(within, "measured pack "+q+" voltage (V)")
		ofTime = append(ofTime, "elapsed test "+q+" time (s)")
	}
	way := []string{"capacity (Ah)", "energy (Wh)"}
	for _, w := range slices.Sorted(maps.Keys(drawn)) {
		way = append(way, w+" capacity (Ah)")
	}
	for _, w := range slices.Sorted(maps.Keys(returned)) {
		way = append(way, w+" energy (Wh)", w+" discharge capacity (Ah)")
	}
	got := "# words that name a channel\n" + ranked(words) + "# words that say which voltage\n" + ranked(within) + "# words that say which time\n" + ranked(ofTime) + "# words that say which way\n" + ranked(way) + "# heads\n" + ranked(heads)
	recorded.Text(t, "testdata/ranks.txt", got)
}

// TestHeadsTakenApart: the words, the unit and the rest of heads of every build, as testdata/apart.txt has them.
func TestHeadsTakenApart(t *testing.T) {
	const path = "testdata/apart.txt"
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	var out strings.Builder
	for line := range strings.SplitSeq(strings.TrimSuffix(string(text), "\n"), "\n") {
		name, want, _ := strings.Cut(line, " → ")
		h := parseHead(name)
		got := strings.Join(h.words, " ")
		if h.letter != "" {
			got += ", letter " + h.letter
		}
		if h.number {
			got += ", numbered"
		}
		if h.unit != nil {
			got += ", in " + h.unit.Symbol()
		}
		if h.foreign {
			got += ", in a unit of its own"
		}
		if s := h.dischargeSign(); s != 0 {
			got += fmt.Sprintf(", discharge %+d", s)
		}
		if lat, long := h.position(); lat || long {
			got += fmt.Sprintf(", a position %t %t", lat, long)
		}
		if c, score := h.channel(); score >= leastScore {
			got += ": " + c.String()
		}
		fmt.Fprintf(&out, "%s → %s\n", name, got)
		if got != want && !recorded.Updating() {
			t.Errorf("%q: %q, want %q", name, got, want)
		}
	}
	if recorded.Updating() {
		if err := os.WriteFile(path, []byte(out.String()), 0o644); err != nil {
			t.Fatal(err)
		}
	}
}
