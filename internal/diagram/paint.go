package diagram

// paints are the colours in which leads are drawn, by the word for them; the
// style sheet may set others. They were chosen to be told apart on paper and on
// slate, with a casing around each.
var paints = map[string]string{
	"black": "#15171a", "brown": "#8a5230", "red": "#d22f27", "orange": "#f08019", "yellow": "#f3c91b", "green": "#2f8f46", "blue": "#2f6fd0",
	"violet": "#8146b0", "grey": "#8d949b", "white": "#ffffff", "pink": "#f08fb6", "turquoise": "#2bb3b1",
}

// paint is the colour of a lead; one that is not stated is drawn as its casing.
func paint(word string) string {
	if p, ok := paints[word]; ok {
		return p
	}
	return "currentColor"
}

// colourClass is the class of a colour, with the space before it.
func colourClass(word string) string {
	if _, ok := paints[word]; ok {
		return " d-" + word
	}
	return " d-plain"
}
