package app

import (
	"context"

	"longspell/internal/access"
)

// RegionStore is a store whose transactions are of its own type T; Adapt makes it the Store of the use cases, so that the store
// need not know this package.
type RegionStore[T Tx] interface {
	InRegion(ctx context.Context, s access.Scope, fn func(tx T) error) error
	ReadRegion(ctx context.Context, s access.Scope, fn func(tx T) error) error
	Identity
	Ledger
}

// Adapt turns a store with transactions of its own type into the port.
func Adapt[T Tx](s RegionStore[T]) Store { return adapted[T]{s} }

type adapted[T Tx] struct{ RegionStore[T] }

func (a adapted[T]) InRegion(ctx context.Context, s access.Scope, fn func(tx Tx) error) error {
	return a.RegionStore.InRegion(ctx, s, func(tx T) error { return fn(tx) })
}

func (a adapted[T]) ReadRegion(ctx context.Context, s access.Scope, fn func(tx Tx) error) error {
	return a.RegionStore.ReadRegion(ctx, s, func(tx T) error { return fn(tx) })
}
