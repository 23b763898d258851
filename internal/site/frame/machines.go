package frame

// Said is what a page says first, for machines: as its description, and on the picture that stands beside a link to it.
type Said struct {
	Before, Number, Plus string // "Ran", "1 h 36 min", "13 s"; "" where it says no number
	Then                 string // a sentence
	Course               Course
}

// Course is a measured line, thinned.
type Course struct {
	Name, Low, High string // the ends in words
	X, Y            []float64
}

// Social is the picture that stands beside a link to a page, at its whole address.
type Social struct {
	Href, Alt     string
	Width, Height int
}
