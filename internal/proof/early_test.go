package proof

import (
	"fmt"
	"net/http"
	"strings"
	"testing"
	"time"

	"voltwright/internal/finding"
)

// told reads what the next event but those that one is set says.
func told(t *testing.T, events chan string, not string) string {
	t.Helper()
	for {
		select {
		case e := <-events:
			if e != "event: setting\ndata: \n" && e != not {
				return strings.TrimSuffix(strings.TrimPrefix(e, "event: print\ndata: "), "\n")
			}
		case <-time.After(30 * time.Second):
			t.Fatal("nothing is told")
		}
	}
}

func printOf(word string, remarks ...Remark) Print {
	return Print{Site: newSite(word), Remarks: remarks, Rule: func(name string) string { return "method/index.html#rule-" + name }}
}

// A page that is open is shown before the rest of its print is set; if the whole print shows it otherwise it is shown anew, and
// if to the letter the same it is not.
func TestOpenPageIsShownFirst(t *testing.T) {
	for _, tt := range []struct {
		name  string
		late  []Remark // that only the whole print has
		again bool
	}{
		{"the same", nil, false},
		{"a finding more", []Remark{found("cart/version.md", "picture-missing", "the picture is missing", finding.Warning, "")}, true},
		{"a finding more elsewhere", []Remark{found("journal.yaml", "address-missing", "no address", finding.Note, "")}, false},
	} {
		t.Run(tt.name, func(t *testing.T) {
			goOn, asked := make(chan struct{}), make(chan []string, 8)
			first := true
			d := openWith(t, "/book/", Print{}, func(d *server) {
				d.Set = func(e Early) Print {
					if first {
						first = false
						return printOf("a")
					}
					asked <- e.Pages
					e.Show(printOf("b"), "cart/index.html")
					<-goOn
					return printOf("b", tt.late...)
				}
			})
			cart := d.eventsOf("?page=%2Fbook%2Fcart%2F")
			front := d.eventsOf("?page=%2Fbook%2F")
			nameOf := func(body string) string {
				_, name, _ := strings.Cut(body, `data-print="`)
				name, _, _ = strings.Cut(name, `"`)
				return name
			}
			cartWas, frontWas := told(t, cart, ""), told(t, front, "")
			d.lay("second", Print{})
			early := told(t, cart, "event: print\ndata: "+cartWas+"\n")
			if pages := <-asked; fmt.Sprint(pages) != "[cart/index.html index.html]" {
				t.Errorf("%s are open", pages)
			}
			_, body := d.get("GET", "/book/cart/", "")
			if !strings.Contains(body, "Cart b") || !strings.Contains(body, "Trial print 2") || nameOf(body) != early {
				t.Errorf("it was told of %s, and is shown %s", early, body)
			}
			if _, body := d.get("GET", "/book/", ""); !strings.Contains(body, "Front a") || nameOf(body) != frontWas {
				t.Errorf("a page that is not yet set is shown: %s", body)
			}
			close(goOn)
			d.change()
			_, body = d.get("GET", "/book/cart/", "")
			if again := nameOf(body) != early; again != tt.again || strings.Contains(body, "picture is missing") != tt.again {
				t.Errorf("it is shown anew: %v, want %v: %s", again, tt.again, body)
			}
			if tt.again {
				if now := told(t, cart, "event: print\ndata: "+early+"\n"); now != nameOf(body) {
					t.Errorf("it is told of %s, and shown as %s", now, nameOf(body))
				}
			}
			if _, body := d.get("GET", "/book/", ""); !strings.Contains(body, "Front b") || nameOf(body) != told(t, front, "event: print\ndata: "+frontWas+"\n") {
				t.Errorf("the front page is shown as %s", body)
			}
			if r, _ := d.get("GET", "/book/cart/log.csv", ""); r.StatusCode != http.StatusOK {
				t.Error("a file of it is gone")
			}
		})
	}
}

// A print whose page was shown and that then does not come out is taken back.
func TestShownFirstAndTakenBack(t *testing.T) {
	first := true
	bad := found("cart/version.md", "template-broken", "no site could be made", finding.Error, "")
	d := openWith(t, "/", Print{}, func(d *server) {
		d.Set = func(e Early) Print {
			if first {
				first = false
				return printOf("a")
			}
			e.Show(printOf("b"), "cart/index.html")
			e.Show(printOf("b"), "nowhere/index.html")
			p := printOf("b", bad)
			p.Site = nil
			return p
		}
	})
	d.lay("second", Print{})
	d.change()
	if _, body := d.get("GET", "/cart/", ""); !strings.Contains(body, "Cart a") || !strings.Contains(body, "What you see is print 1.") {
		t.Errorf("the cart's page is %s", body)
	}
}
