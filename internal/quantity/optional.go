package quantity

// unsaid is the reason of what is absent and of which nobody said why.
const unsaid = "It is not known."

// Optional is a value of a type, or the reason why there is none, a sentence. The zero Optional is absent: what nobody filled in is
// not taken for a zero that somebody knows.
type Optional[T any] struct {
	value T
	known bool
	why   string
}

// Some is a value that there is.
func Some[T any](v T) Optional[T] { return Optional[T]{value: v, known: true} }

// None is the absence of a value; why is a sentence, "" where nobody says.
func None[T any](why string) Optional[T] { return Optional[T]{why: why} }

// Known says whether there is a value.
func (o Optional[T]) Known() bool { return o.known }

// Get gives the value; false where there is none, and then the value is the zero T and stands for nothing.
func (o Optional[T]) Get() (T, bool) { return o.value, o.known }

// Or gives the value, or another where there is none.
func (o Optional[T]) Or(other T) T {
	if o.known {
		return o.value
	}
	return other
}

// Why says why there is no value, a sentence; "" where there is one.
func (o Optional[T]) Why() string {
	switch {
	case o.known:
		return ""
	case o.why == "":
		return unsaid
	}
	return o.why
}

// OrWhy is the value as a quantity for printing; where it is not known, its absence with the reason, a sentence, "" where nobody says.
func (m Measured[K]) OrWhy(why string) Optional[Quantity] {
	if m.Known() {
		return Some(m.Quantity())
	}
	return None[Quantity](why)
}
