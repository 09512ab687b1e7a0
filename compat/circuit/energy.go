package circuit

import "math"

// TimeToFire is how long the current i has to flow until an igniter of firing
// impulse k fires: k/i^2 where its no-fire current is not known (0), else
// -(k/noFire^2) ln(1-(noFire/i)^2), a bridge that loses heat in proportion to
// its temperature. Sources: ours, the lumped thermal model of a bridge wire.
// false where it never fires, or where k or i is not above zero.
func TimeToFire(k AmpSquaredSeconds, noFire Amps, i Amps) (Seconds, bool) {
	if !(k > 0) || !(i > 0) || !(noFire >= 0) || i <= noFire {
		return 0, false
	}
	adiabatic := float64(k) / (float64(i) * float64(i))
	x := float64(noFire/i) * float64(noFire/i)
	if x == 0 {
		return Seconds(adiabatic), true
	}
	t := adiabatic * -math.Log1p(-x) / x
	return Seconds(t), !math.IsInf(t, 0)
}

// CapacitorImpulse is the integral of the squared current through the igniter
// at index under, in A2 s, over the whole discharge at that igniter's worst
// corner (see Worst): C V^2/(2 R), V the charged voltage less the controller's
// drop, R the resistance of the whole loop, times the square of the branch's
// share of the current. A current limit makes it C I (V - I R/2) with I the
// limited current, which is the same where the limit does not bind.
//
// The drop is taken as fixed down to the last of the current: the capacitor
// then keeps the drop's worth of charge. A real drop shrinks with the current,
// so that the figure is a little low. The capacitance is taken as given,
// without tolerance. 0 for a battery and for an index outside the branches.
func (n Network) CapacitorImpulse(under int) AmpSquaredSeconds {
	if !n.Capacitor || under < 0 || under >= len(n.Branches) {
		return 0
	}
	c := n.worst(under)
	l := n.load(c)
	i := n.current(c, l)
	mean := n.push(c) - i.through(n.ahead(c)+l.whole)/2
	share := n.share(c, l, under)
	return AmpSquaredSeconds(float64(n.Capacitance) * float64(i) * float64(mean) * float64(share*share))
}
