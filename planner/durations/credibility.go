package durations

// Credibility is how far the means of groups are to be believed when each has few observations: a group's own mean counts
// Z, the mean of all 1 - Z, and Z = n / (n + Within/Between) for a group of n.
//
// It is the empirical form for groups of different sizes: Bühlmann and Straub 1970, "Glaubwürdigkeit für Schadensätze",
// Mitteilungen der Vereinigung schweizerischer Versicherungsmathematiker 70, 111-133; for equal sizes it is Bühlmann 1967,
// "Experience rating and credibility", ASTIN Bulletin 4 (3), 199-207, doi 10.1017/S0515036100008989.
type Credibility struct {
	Mean    float64 // of all observations
	Within  float64 // variance of one observation about its group's mean
	Between float64 // variance of the groups' own means about the mean of all; 0 when the observations show none
}

// CredibilityOf estimates from groups of observations. With fewer than two groups, or no group of two, nothing can be told
// apart and Between is 0: every group is taken to be as all are.
func CredibilityOf(groups [][]float64) Credibility {
	var c Credibility
	n, squares, freedom, used := 0.0, 0.0, 0.0, 0.0
	for _, g := range groups {
		for _, x := range g {
			c.Mean += x
		}
		if size := float64(len(g)); size > 0 {
			n, squares, freedom, used = n+size, squares+size*size, freedom+size-1, used+1
		}
	}
	if n == 0 {
		return c
	}
	c.Mean /= n
	within, between := 0.0, 0.0
	for _, g := range groups {
		own := mean(g)
		for _, x := range g {
			within += (x - own) * (x - own)
		}
		between += float64(len(g)) * (own - c.Mean) * (own - c.Mean)
	}
	if freedom == 0 || used < 2 {
		return c
	}
	c.Within = within / freedom
	c.Between = max(0, (between-(used-1)*c.Within)/(n-squares/n))
	return c
}

// Z is how much a group of n observations counts, 0 to 1.
func (c Credibility) Z(n int) float64 {
	if n == 0 || c.Between == 0 {
		return 0
	}
	return float64(n) / (float64(n) + c.Within/c.Between)
}

// Believed is a group's mean drawn towards a centre as far as it is not to be believed.
func (c Credibility) Believed(group []float64, centre float64) float64 {
	z := c.Z(len(group))
	return z*mean(group) + (1-z)*centre
}

func mean(list []float64) float64 {
	if len(list) == 0 {
		return 0
	}
	sum := 0.0
	for _, x := range list {
		sum += x
	}
	return sum / float64(len(list))
}
