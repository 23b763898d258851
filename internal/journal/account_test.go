package journal

import (
	"errors"
	"fmt"
	"math"
	"math/big"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"voltwright/internal/finding"
)

// chain makes versions of one vehicle, each following the one before, of the lines of their parts lists.
func chain(t *testing.T, lists ...string) (*Journal, []*Version, []finding.Finding) {
	t.Helper()
	files := map[string]string{"journal.yaml": "title: A journal\ncurrency: GBP\nmaker: {name: A test}\n", "cart/vehicle.md": "---\nkind: vehicle\nname: A cart\n---\n"}
	for i, list := range lists {
		follows := ""
		if i > 0 {
			follows = fmt.Sprintf("follows: %d-v\n", i)
		}
		files[fmt.Sprintf("cart/%d-v/version.md", i+1)] = fmt.Sprintf("---\nkind: version\nname: V\ndate: 2026-01-%02d\n%s%s---\n", i+1, follows, list)
	}
	dir := t.TempDir()
	for name, text := range files {
		path := filepath.Join(dir, name)
		if err := errors.Join(os.MkdirAll(filepath.Dir(path), 0o755), os.WriteFile(path, []byte(text), 0o600)); err != nil {
			t.Fatal(err)
		}
	}
	j, found := load(t, dir)
	return j, j.Vehicles[0].Versions, found.Sorted()
}

func gbp(m Sums) string {
	if len(m.Order) == 0 {
		return "0.00"
	}
	return m.Amount[m.Order[0]].FloatString(2)
}

// By hand, case by case: what the change cost, what the vehicle as it stands cost, what was taken off, what it weighs in kg.
func TestWhatAChangeCost(t *testing.T) {
	first := "parts:\n  - {name: wheel, quantity: 4, price: 5.00, mass: 1 kg}\n  - {name: pack, price: 100.00, mass: 10 kg}\n"
	for _, c := range []struct {
		name, list                 string
		change, vehicle, off, used string
		mass                       float64
		says                       string // of a finding
	}{
		{"all as before", "parts:\n  - {name: wheel, quantity: 4}\n  - {name: Pack}\n", "0.00", "120.00", "0.00", "0.00", 14, ""},
		{"a line too few", "parts:\n  - {name: wheel, quantity: 4}\n", "0.00", "20.00", "100.00", "0.00", 4, "does not say what became of pack"},
		{"taken off", "parts:\n  - {name: wheel, quantity: 4}\n  - {name: pack, how: taken-off}\n", "0.00", "20.00", "100.00", "0.00", 4, ""},
		{"two more wheels", "parts:\n  - {name: wheel, quantity: 6, price: 5.00, mass: 1 kg}\n  - {name: pack}\n", "10.00", "130.00", "0.00", "0.00", 16, ""},
		{"two fewer", "parts:\n  - {name: wheel, quantity: 2}\n  - {name: pack}\n", "0.00", "110.00", "10.00", "0.00", 12, ""},
		{"two taken off", "parts:\n  - {name: wheel, quantity: 2}\n  - {name: wheel, quantity: 2, how: taken-off}\n  - {name: pack}\n", "0.00", "110.00", "10.00", "0.00", 12, ""},
		{"another pack in its place", "parts:\n  - {name: wheel, quantity: 4}\n  - {name: pack, how: bought, price: 150.00, mass: 8 kg}\n", "150.00", "170.00", "100.00", "0.00", 12, ""},
		{"a second pack beside it", "parts:\n  - {name: wheel, quantity: 4}\n  - {name: pack, how: kept}\n  - {name: pack, how: bought, price: 150.00, mass: 8 kg}\n", "150.00", "270.00", "0.00", "0.00", 22, ""},
		{"another price, and nothing said", "parts:\n  - {name: wheel, quantity: 4}\n  - {name: pack, price: 150.00}\n", "0.00", "120.00", "0.00", "0.00", 14, "another price, and counts as kept"},
		{"used up", "parts:\n  - {name: wheel, quantity: 4}\n  - {name: pack}\n  - {name: solder, how: used-up, price: 3.50, mass: 0.1 kg}\n", "3.50", "120.00", "0.00", "3.50", 14, ""},
		{"borrowed", "parts:\n  - {name: wheel, quantity: 4}\n  - {name: pack}\n  - {name: meter, how: borrowed, price: 60.00, mass: 0.5 kg}\n", "0.00", "120.00", "0.00", "0.00", 14.5, ""},
		{"moved from another vehicle", "parts:\n  - {name: wheel, quantity: 4}\n  - {name: pack}\n  - {name: horn, how: moved, price: 12.00, mass: 0.3 kg}\n", "0.00", "132.00", "0.00", "0.00", 14.3, ""},
		{"moved on the vehicle", "parts:\n  - {name: wheel, quantity: 4}\n  - {name: pack, how: moved}\n", "0.00", "120.00", "0.00", "0.00", 14, ""},
		{"kept, and on no list", "parts:\n  - {name: wheel, quantity: 4}\n  - {name: pack}\n  - {name: frame, how: kept, mass: 7 kg, price: 40.00}\n", "0.00", "160.00", "0.00", "0.00", 21, ""},
		{"taken off, and on no list", "parts:\n  - {name: wheel, quantity: 4}\n  - {name: pack}\n  - {name: frane, how: taken-off}\n", "0.00", "120.00", "0.00", "0.00", 14, "no version before had it"},
		{"outweighs", "masses: {vehicle: 13 kg}\nparts:\n  - {name: wheel, quantity: 4}\n  - {name: pack}\n", "0.00", "120.00", "0.00", "0.00", 14, "the parts on its list weigh 14"},
		{"just not", "masses: {vehicle: 14 kg}\nparts:\n  - {name: wheel, quantity: 4}\n  - {name: pack}\n", "0.00", "120.00", "0.00", "0.00", 14, ""},
	} {
		j, versions, found := chain(t, first, c.list)
		a := j.Account(versions[1])
		if gbp(a.Change) != c.change || gbp(a.Vehicle) != c.vehicle || gbp(a.Off) != c.off || gbp(a.UsedUp) != c.used || math.Abs(float64(a.Mass.Value)-c.mass) > 1e-9 {
			t.Errorf("%s: change %s, vehicle %s, off %s, used up %s, %g kg; want %s, %s, %s, %s, %g kg", c.name, gbp(a.Change), gbp(a.Vehicle), gbp(a.Off), gbp(a.UsedUp), float64(a.Mass.Value), c.change, c.vehicle, c.off, c.used, c.mass)
		}
		var said []string
		for _, f := range found {
			said = append(said, f.Text)
		}
		if all := strings.Join(said, "\n"); c.says == "" && all != "" || !strings.Contains(all, c.says) {
			t.Errorf("%s: said %q, want %q", c.name, all, c.says)
		}
	}
}

// What is borrowed goes on being borrowed, goes back without a loss, and costs its price once it is bought.
func TestBorrowedOverVersions(t *testing.T) {
	j, v, found := chain(t, "parts:\n  - {name: meter, how: borrowed, mass: 1 kg}\n", "parts:\n  - {name: meter}\n", "parts:\n  - {name: meter, how: bought, price: 20.00, mass: 1 kg}\n", "parts:\n  - {name: meter, how: taken-off}\n")
	for i, want := range []string{"0.00 0.00 0.00", "0.00 0.00 0.00", "20.00 20.00 0.00", "0.00 0.00 20.00"} {
		a := j.Account(v[i])
		if got := gbp(a.Change) + " " + gbp(a.Vehicle) + " " + gbp(a.Off); got != want {
			t.Errorf("version %d: %s, want %s", i+1, got, want)
		}
	}
	if len(found) > 0 {
		t.Errorf("%v", found)
	}
}

// Along every chain of versions: what all changes cost, and what was brought in, is what the vehicle as it stands cost,
// what was taken off and what was used up; pieces are neither made nor lost; mass is that of the pieces aboard.
func TestMoneyIsKeptAlongAChain(t *testing.T) {
	r := rand.New(rand.NewPCG(12, 34))
	hows := []string{"", "", "", "bought", "kept", "moved", "borrowed", "used-up", "taken-off"}
	fates := map[PartHow]int{}
	for range 400 {
		var lists []string
		for range 2 + r.IntN(4) {
			var b strings.Builder
			b.WriteString("parts:\n")
			for range 1 + r.IntN(6) {
				fmt.Fprintf(&b, "  - {name: part %c, quantity: %d, price: %d.%02d, mass: %d g", 'a'+rune(r.IntN(5)), 1+r.IntN(4), r.IntN(90), r.IntN(100), 1+r.IntN(900))
				if r.IntN(4) == 0 {
					b.WriteString(", currency: EUR")
				}
				if how := hows[r.IntN(len(hows))]; how != "" {
					b.WriteString(", how: " + how)
				}
				b.WriteString("}\n")
			}
			lists = append(lists, b.String())
		}
		j, versions, _ := chain(t, lists...)
		in, out := Sums{}, Sums{}
		pieces := 0
		for i, v := range versions {
			a := j.Account(v)
			in.AddAll(a.Change)
			in.AddAll(a.Brought)
			out.AddAll(a.Off)
			out.AddAll(a.UsedUp)
			aboard, mass := 0, 0.0
			for _, lot := range a.Aboard {
				aboard += lot.Pieces
				mass += float64(lot.Mass.Value) * float64(lot.Pieces)
				if lot.Pieces < 1 {
					t.Fatalf("a lot of %d pieces", lot.Pieces)
				}
			}
			for _, f := range a.Fates {
				fates[f.How]++
				switch {
				case f.How == UsedUp:
				case f.How == TakenOff && f.Was != nil:
					pieces -= f.Pieces
				case f.Was == nil && f.How != TakenOff:
					pieces += f.Pieces
				}
			}
			if pieces != aboard {
				t.Fatalf("version %d: %d pieces came and did not go, %d are aboard\n%s", i+1, pieces, aboard, strings.Join(lists, "\n"))
			}
			if a.Mass.Known() && math.Abs(float64(a.Mass.Value)-mass) > 1e-9 {
				t.Fatalf("mass %v, of the pieces aboard %g", a.Mass.Value, mass)
			}
			whole := Sums{}
			whole.AddAll(out)
			whole.AddAll(a.Vehicle)
			if rest := in.Less(whole); len(rest.Order) > 0 {
				t.Fatalf("version %d: %v of money is neither on the vehicle nor gone\n%s", i+1, rest.Amount, strings.Join(lists, "\n"))
			}
			for _, m := range []Sums{a.Change, a.Vehicle, a.Off, a.UsedUp, a.Brought} {
				for _, c := range m.Order {
					if m.Amount[c].Sign() < 0 || !new(big.Rat).Mul(m.Amount[c], big.NewRat(100, 1)).IsInt() {
						t.Fatalf("a sum of %s", m.Amount[c])
					}
				}
			}
		}
	}
	for _, how := range []PartHow{Bought, Kept, Moved, Borrowed, UsedUp, TakenOff} {
		if fates[how] < 50 {
			t.Errorf("%s came %d times", how, fates[how])
		}
	}
}
