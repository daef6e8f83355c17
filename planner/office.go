package planner

import (
	"bytes"
	"encoding/json"
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"

	"valveround/events"
)

// SettingsOf are the settings an office plans with: the defaults, but for what it has changed. When what is recorded cannot
// be read, the defaults come with an error that says why.
func SettingsOf(b *events.Book, office events.OfficeID) (Settings, error) {
	return DefaultSettings().Of(b, office)
}

// Of are these settings, but for what an office has changed.
func (s Settings) Of(b *events.Book, office events.OfficeID) (Settings, error) {
	changed := b.SettingsOf(office)
	if changed == nil {
		return s, nil
	}
	with, err := s.With(changed.Values)
	if err != nil {
		return s, fmt.Errorf("the settings recorded for %s: %w", office, err)
	}
	return with, nil
}

// With puts values, a JSON object, in the place of those of the same name. A list takes the place of the whole list.
func (s Settings) With(values []byte) (Settings, error) {
	s.Urgency = slices.Clone(s.Urgency)
	var names map[string]json.RawMessage
	if err := json.Unmarshal(values, &names); err != nil {
		return s, err
	}
	if _, listed := names["urgency"]; listed {
		s.Urgency = nil
	}
	dec := json.NewDecoder(bytes.NewReader(values))
	dec.DisallowUnknownFields()
	if err := dec.Decode(&s); err != nil {
		return s, err
	}
	return s, s.Validate()
}

// Changed writes what is otherwise in these settings than in others, as events.SettingsChanged keeps it.
func (s Settings) Changed(from Settings) (json.RawMessage, error) {
	was, err := named(from)
	if err != nil {
		return nil, err
	}
	is, err := named(s)
	if err != nil {
		return nil, err
	}
	for name, value := range is {
		if bytes.Equal(value, was[name]) {
			delete(is, name)
		}
	}
	return json.Marshal(is)
}

func named(s Settings) (map[string]json.RawMessage, error) {
	text, err := json.Marshal(s)
	if err != nil {
		return nil, err
	}
	var names map[string]json.RawMessage
	return names, json.Unmarshal(text, &names)
}

// Value is one number of the settings.
type Value struct {
	Name   string  `json:"name"` // its path: test_minutes.reduced_pressure.to_2_in, urgency.2.usd
	Number float64 `json:"number"`
}

// Values lists every number of the settings by name.
func (s Settings) Values() []Value {
	text, err := json.Marshal(s)
	if err != nil {
		panic(fmt.Sprintf("settings are plain data: %v", err))
	}
	var tree any
	if err := json.Unmarshal(text, &tree); err != nil {
		panic(fmt.Sprintf("settings are plain data: %v", err))
	}
	var list []Value
	walk(tree, nil, func(path []string, n float64) { list = append(list, Value{strings.Join(path, "."), n}) })
	return list
}

func walk(tree any, path []string, each func([]string, float64)) {
	switch node := tree.(type) {
	case float64:
		each(path, node)
	case map[string]any:
		for _, name := range slices.Sorted(maps.Keys(node)) {
			walk(node[name], append(path[:len(path):len(path)], name), each)
		}
	case []any:
		for i, x := range node {
			walk(x, append(path[:len(path):len(path)], strconv.Itoa(i)), each)
		}
	}
}

// Set gives settings in which numbers are otherwise, by name. The error names the first that is no setting or makes no sense.
func (s Settings) Set(values []Value) (Settings, error) {
	text, err := json.Marshal(s)
	if err != nil {
		return s, err
	}
	var tree map[string]any
	if err := json.Unmarshal(text, &tree); err != nil {
		return s, err
	}
	for _, v := range values {
		if !setAt(tree, strings.Split(v.Name, "."), v.Number) {
			return s, fmt.Errorf("there is no setting %q", v.Name)
		}
	}
	if text, err = json.Marshal(tree); err != nil {
		return s, err
	}
	var set Settings
	if err := json.Unmarshal(text, &set); err != nil {
		return s, fmt.Errorf("a setting is no whole number: %w", err)
	}
	return set, set.Validate()
}

// setAt replaces the number at a path; false when there is none.
func setAt(tree any, path []string, number float64) bool {
	var child any
	var set func(any)
	switch node := tree.(type) {
	case map[string]any:
		child, set = node[path[0]], func(x any) { node[path[0]] = x }
	case []any:
		i, err := strconv.Atoi(path[0])
		if err != nil || i < 0 || i >= len(node) {
			return false
		}
		child, set = node[i], func(x any) { node[i] = x }
	default:
		return false
	}
	if len(path) > 1 {
		return setAt(child, path[1:], number)
	}
	if _, is := child.(float64); !is {
		return false
	}
	set(number)
	return true
}

// Explained is one setting for people.
type Explained struct {
	Value
	Default float64 `json:"default"`
	Group   string  `json:"group"`
	Words   string  `json:"words"`
	Unit    string  `json:"unit"`
}

// Explain lists every number of the settings with what it means, its unit and its default, in the order in which a person
// would look for it.
func (s Settings) Explain() []Explained {
	defaults := map[string]float64{}
	for _, v := range DefaultSettings().Values() {
		defaults[v.Name] = v.Number
	}
	var list []Explained
	for _, v := range s.Values() {
		x := Explained{Value: v, Default: defaults[v.Name], Words: v.Name, Group: "Other"}
		if m, ok := meanings[generic(v.Name)]; ok {
			x.Group, x.Words, x.Unit = m.group, m.words, m.unit
		}
		if at := strings.Split(v.Name, "."); len(at) == 3 && at[0] == "urgency" {
			nth, _ := strconv.Atoi(at[1])
			x.Words = fmt.Sprintf("step %d: %s", nth+1, x.Words)
		}
		list = append(list, x)
	}
	rank := func(x Explained) int {
		if strings.HasPrefix(x.Name, "urgency.") { // the days of a step beside what waiting then costs
			return meanings["urgency.#.days_left"].rank
		}
		if m, ok := meanings[generic(x.Name)]; ok {
			return m.rank
		}
		return len(meanings)
	}
	slices.SortStableFunc(list, func(x, y Explained) int { return rank(x) - rank(y) })
	return list
}

// generic is the name of a setting with its place in a list left out.
func generic(name string) string {
	at := strings.Split(name, ".")
	for i, part := range at {
		if _, err := strconv.Atoi(part); err == nil {
			at[i] = "#"
		}
	}
	return strings.Join(at, ".")
}

// Differing says in words what is otherwise than by default; nothing when all is.
func (s Settings) Differing() []string {
	var lines []string
	for _, x := range s.Explain() {
		if x.Number != x.Default {
			lines = append(lines, fmt.Sprintf("set by the firm: %s, %s %s (default %s)", x.Words, trimmed(x.Number), x.Unit, trimmed(x.Default)))
		}
	}
	return lines
}

func trimmed(n float64) string { return strconv.FormatFloat(n, 'f', -1, 64) }
