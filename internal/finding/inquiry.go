package finding

// Inquiry is a part of judging a journal that stands by itself: what it finds rests on no other.
type Inquiry struct {
	Name string // its own among all
	Find func() []Finding
}

// FindAll is what all inquiries find, one after the other.
func FindAll(all []Inquiry) (found []Finding) {
	for _, i := range all {
		found = append(found, i.Find()...)
	}
	return found
}
