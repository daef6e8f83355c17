package routing_test

import (
	"context"
	"fmt"

	"valveround/planner/routing"
)

// Four stops on a straight road, one day: see lineSpec for the sums.
func ExampleSolve() {
	problem, err := routing.NewProblem(lineSpec())
	if err != nil {
		fmt.Println(err)
		return
	}
	plan, err := routing.Solve(context.Background(), problem, routing.Options{Seed: 1, Iterations: 200})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, stop := range plan.Evaluation.Routes[0].Stops {
		fmt.Println(problem.Visit(stop.Visit).Name, "starts", stop.Start/60, "min after midnight")
	}
	fmt.Println("left out:", len(plan.Evaluation.Unserved))
	// Output:
	// B starts 480 min after midnight
	// C starts 510 min after midnight
	// A starts 550 min after midnight
	// left out: 1
}
