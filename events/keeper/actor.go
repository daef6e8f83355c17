package keeper

import (
	"context"

	"valveround/events"
)

type actorKey struct{}

// ActingAs marks everything that is done under the context as done by a person: whatever a command says of itself, its
// events carry this actor. It is set at the door, where somebody has signed in.
func ActingAs(ctx context.Context, person events.PersonID) context.Context {
	return context.WithValue(ctx, actorKey{}, person)
}

// signed puts the person that acts into the command. Without one the command's own actor is taken on trust.
func signed(ctx context.Context, c events.Command) events.Command {
	if person, ok := ctx.Value(actorKey{}).(events.PersonID); ok {
		c.Actor = person
	}
	return c
}

func allSigned(ctx context.Context, commands []events.Command) []events.Command {
	if ctx.Value(actorKey{}) == nil {
		return commands
	}
	list := make([]events.Command, len(commands))
	for i, c := range commands {
		list[i] = signed(ctx, c)
	}
	return list
}
