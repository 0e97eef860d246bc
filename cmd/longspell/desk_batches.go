package main

import "longspell/internal/exchange"

const (
	rowsInBatch = 512
	batches     = 8
)

// overBatches hands rows from the reader to the log a batch at a time, so that the next rows are read while these are put away.
type overBatches struct {
	batch  []exchange.OverRow
	full   chan []exchange.OverRow
	free   chan []exchange.OverRow
	closed chan struct{}
}

// inBatches begins to take batches of rows; finish waits until all have been taken.
func (t *overTaker) inBatches() *overBatches {
	b := &overBatches{full: make(chan []exchange.OverRow, batches), free: make(chan []exchange.OverRow, batches), closed: make(chan struct{})}
	for range batches {
		b.free <- make([]exchange.OverRow, 0, rowsInBatch)
	}
	b.batch = <-b.free
	go func() {
		defer close(b.closed)
		for rows := range b.full {
			for i := range rows {
				t.take(&rows[i])
			}
			b.free <- rows[:0]
		}
	}()
	return b
}

func (b *overBatches) take(r *exchange.OverRow) {
	b.batch = append(b.batch, *r)
	if len(b.batch) == rowsInBatch {
		b.full <- b.batch
		b.batch = <-b.free
	}
}

func (b *overBatches) finish() {
	b.full <- b.batch
	close(b.full)
	<-b.closed
}
