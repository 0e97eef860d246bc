package main

// pieces is a long list that grows without being copied: a million rows would otherwise stand in memory twice while the list
// grows.
type pieces[T any] struct {
	parts [][]T
	n     int
}

const (
	pieceBits   = 14
	rowsInPiece = 1 << pieceBits
)

func (p *pieces[T]) add(v T) {
	if p.n&(rowsInPiece-1) == 0 {
		p.parts = append(p.parts, make([]T, rowsInPiece))
	}
	*p.at(p.n) = v
	p.n++
}

func (p *pieces[T]) at(i int) *T { return &p.parts[i>>pieceBits][i&(rowsInPiece-1)] }
