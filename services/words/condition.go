package words

import (
	"strings"

	"valveround/events"
)

// Condition says how a feed was left: impaired; No. 1 shut-off partly; No. 2 shut-off open.
func Condition(c events.Condition) string {
	parts := []string{Plain(string(c.Service))}
	for _, v := range c.Valves {
		parts = append(parts, v.Name+" "+valve(v.State))
	}
	if c.Words != "" {
		parts = append(parts, c.Words)
	}
	return strings.Join(parts, "; ")
}
