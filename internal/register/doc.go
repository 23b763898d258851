// Package register reads the finished pages of a site and makes of them what its search page needs: the index that the
// page's script asks (Index), and the register of words as at the back of a book (Alphabet), which needs no script.
//
// Whatever a page says can be found, at the place nearest to it that has an anchor. Not taken are drawings, the data
// behind charts, what is hidden, and what only leads about the site. Folding, stemming and ranking are the script's
// alone: the index holds the text as it stands, each piece of it once, however many pages say it.
//
// What it cannot know from a page it is told: what kind of sheet it is and which sheets are of one family.
package register

// Sheet is one page of the site.
type Sheet struct {
	Path    string   // from the root of the site
	Kind    string   // what the sheet is called: "Version", "Question"
	Title   string   // its main heading
	Short   string   // what the register calls it: "The shunter, version 3"
	Of      string   // what it belongs to, in words: "The shunter, version 3, retired"; "" where it stands for itself
	Family  string   // sheets that say the same of different versions have one family; "" where it is alone
	Order   int      // in its family the highest is the newest
	Weight  float64  // factor of what is found on it, 1 for most sheets
	First   bool     // what matches its title comes before all else, as a question does
	Retired bool     // its version is no longer in use
	Also    []string // other ways in which its title is said
	Places  []Place
}

// Place is a part of a sheet that a link can lead to.
type Place struct {
	Anchor  string   // "" for the sheet's opening
	Heading string   // "" for the sheet's opening
	Under   string   // heading of the part in which it lies
	Heads   []string // further headings in it, without anchors of their own
	Texts   []string // what it says, piece by piece: a paragraph, an item, a row of a table
}

// Word is a word of the trade, with the other forms in which it is said and where its meaning stands.
type Word struct {
	Word   string
	Also   []string
	Anchor string
}
