package frame

import "html/template"

// Photo is a photo of the maker's as a figure of a page.
type Photo struct {
	Caption
	Image
	Film         *Link       // where the film stands of which this is a still
	Above, Below []Balloon   // numbers in the strips over and under the photo, from the left
	AboveHeight  int         // of the strips, in pixels; 0: there is none
	BelowHeight  int         //
	Key          []KeyRow    // what the marks are
	KeyFace      string      // of the fold with them
	Letters      [][2]string // what the letters stand for
}

// Image is a picture in several widths.
type Image struct {
	Href, Alt     string // Href: JPEG or PNG, for who reads no WebP
	Width, Height int
	Set           template.Srcset // of WebP
	Sizes         string
	Once          bool // it is loaded at once, not when it is scrolled to
}

// Balloon is a mark on a photo: its number in the strip, and the leader to the place. All are hundredths of the photo's width and height
// but RowY, which is pixels from the top of the strip.
type Balloon struct {
	Mark  string // number of the part, or a letter
	Words string
	Href  string // to its row in the key
	At    string // of the balloon along the strip
	RowY  int
	X, Y  string // of the place
}

// KeyRow is a marked part with where it is found besides.
type KeyRow struct {
	Anchor, Mark, Words string
	Links               []Link
}
