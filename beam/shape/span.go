package shape

// Span is a stretch along the bed, m.
type Span struct{ From, To float64 }

// Less returns what is left of spans without others, in their order.
func Less(spans, others []Span) []Span {
	for _, o := range others {
		var left []Span
		for _, s := range spans {
			for _, part := range []Span{{s.From, min(s.To, o.From)}, {max(s.From, o.To), s.To}} {
				if part.From < part.To {
					left = append(left, part)
				}
			}
		}
		spans = left
	}
	return spans
}

// Even returns n places from a to b at equal distances; the middle for n = 1.
func Even(a, b float64, n int) []float64 {
	if n == 1 {
		return []float64{(a + b) / 2}
	}
	x := make([]float64, n)
	for i := range x {
		x[i] = a + (b-a)*float64(i)/float64(n-1) // floats.Span does not end on b
	}
	return x
}
