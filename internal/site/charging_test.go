package site

import (
	"strings"
	"testing"

	"voltwright/internal/finding"
)

// The version's own charger is the marked row of the table; one that a rule speaks
// against has the rule named, with a link, and no time.
func TestOwnChargerIsMarked(t *testing.T) {
	for _, against := range []string{"", "charge-current-high"} {
		in := input(t, written(t, map[string]string{
			"journal.yaml":    "title: A book\nmaker: {name: A maker}\n",
			"cart/vehicle.md": "---\nkind: vehicle\nname: The cart\n---\n",
			"cart/1-planned/version.md": "---\nkind: version\nname: Planned\ndate: 2026-01-02\nstate: running\npacks: [{chemistry: lfp, series: 8, capacity: 11 Ah}]\n" +
				"charger: {chemistry: lfp, voltage: 28.9 V, current: 3.3 A}\n---\n",
		}))
		if against != "" {
			in.Docs = append(in.Docs, finding.Doc{Kind: finding.RuleDoc, Name: against, Title: "A rule", Level: finding.Warning, What: "Looks at a charger."})
			in.Results.Predictions["cart/1-planned"].Refuse(against)
		}
		p, _ := build(t, in)
		page, err := p.Bytes("cart/1-planned/index.html")
		if err != nil {
			t.Fatal(err)
		}
		_, row, found := strings.Cut(string(page), `<tr id="charge-time-charger" class="ours">`)
		row, _, _ = strings.Cut(row, "</tr>")
		if !found || strings.Count(string(page), `class="ours"`) != 1 || !strings.Contains(row, "the charger of this version, up to 28.9 V") || !strings.Contains(row, "3.3") {
			t.Fatalf("the row of the own charger: %s", row)
		}
		if timed := strings.Contains(row, "±"); timed != (against == "") {
			t.Errorf("a time is there: %t, with %q against it: %s", timed, against, row)
		}
		if named := strings.Contains(row, ">charge-current-high</a>"); named != (against != "") {
			t.Errorf("the rule is named: %t: %s", named, row)
		}
	}
}
