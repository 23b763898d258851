package notes

// Document is a note's body.
type Document struct{}
