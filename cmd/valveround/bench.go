package main

// benchCommand measures the program on published data.
type benchCommand struct {
	Routes benchRoutes `cmd:"" help:"Plan published routing instances and compare with the best known."`
}
