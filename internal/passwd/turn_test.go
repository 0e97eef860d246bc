package passwd

import (
	"context"
	"errors"
	"testing"

	"longspell/internal/domain"
)

func TestWaitingEndsWithTheRequest(t *testing.T) {
	t.Parallel()
	h, err := New(Options{Cost: Floor, AtOnce: 1, Queue: 1})
	if err != nil {
		t.Fatal(err)
	}
	h.turn <- struct{}{} // somebody has the only turn
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := h.Hash(ctx, "word"); !errors.Is(err, context.Canceled) {
		t.Errorf("%v, want the end of the request", err)
	}
	h.place <- struct{}{}
	h.place <- struct{}{} // and nobody else may wait
	_, _, err = h.Verify(context.Background(), "", "word")
	var told *domain.Error
	if !errors.As(err, &told) || told.Kind != domain.KindUnavailable || told.RetryAfter <= 0 {
		t.Errorf("%v, want unavailable with an instant to come back", err)
	}
	<-h.place
	<-h.place
	<-h.turn
	if _, err := h.Hash(context.Background(), "word"); err != nil {
		t.Errorf("when all have left: %v", err)
	}
}
