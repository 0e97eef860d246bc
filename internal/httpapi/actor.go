package httpapi

import (
	"context"

	"longspell/internal/access"
)

// actorContext is the context of a request that has been authenticated.
type actorContext = context.Context

type actorKey struct{}

// withActor puts the signed-in person into the context of a request.
func withActor(ctx context.Context, a access.Actor) actorContext {
	return context.WithValue(ctx, actorKey{}, a)
}

// actorFrom is the signed-in person; the zero Actor, who may do nothing, where nobody is signed in.
func actorFrom(ctx actorContext) access.Actor {
	a, _ := ctx.Value(actorKey{}).(access.Actor)
	return a
}
