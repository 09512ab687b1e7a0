package pack

import "math"

// graph is a network with room and cost on its arcs. Arc a and a^1 are one arc
// and its reverse.
type graph struct {
	first      []int32 // arc by node, -1: none
	next, to   []int32 // by arc
	room, cost []int64
	steps      int64 // arcs looked at so far
}

func newGraph(nodes int) *graph {
	g := &graph{first: make([]int32, nodes)}
	for i := range g.first {
		g.first[i] = -1
	}
	return g
}

// arc adds an arc and tells its number.
func (g *graph) arc(from, to int, room, cost int64) int {
	a := len(g.to)
	g.to = append(g.to, int32(to), int32(from))
	g.room = append(g.room, room, 0)
	g.cost = append(g.cost, cost, -cost)
	g.next = append(g.next, g.first[from], g.first[to])
	g.first[from], g.first[to] = int32(a), int32(a+1)
	return a
}

// push sends so much more through arc a.
func (g *graph) push(a int, n int64) {
	g.room[a] -= n
	g.room[a^1] += n
}

const far = math.MaxInt64

// cheapest sends as much as can be sent from source to sink, at the least cost,
// and tells how much: successive shortest paths, which potentials keep free of
// arcs with a cost below zero. The costs given must not be below zero.
func (g *graph) cheapest(source, sink int) (sent int64) {
	n := len(g.first)
	potential, distance, via := make([]int64, n), make([]int64, n), make([]int32, n)
	for g.shortest(source, sink, potential, distance, via) {
		for v, d := range distance {
			potential[v] += min(d, distance[sink])
		}
		least := int64(far)
		for v := sink; v != source; v = int(g.to[via[v]^1]) {
			least = min(least, g.room[via[v]])
		}
		for v := sink; v != source; v = int(g.to[via[v]^1]) {
			g.push(int(via[v]), least)
		}
		sent += least
	}
	return sent
}

// shortest finds the shortest path by Dijkstra, over the costs less the
// potentials; nodes beyond the sink keep a distance that is not below the
// sink's.
func (g *graph) shortest(source, sink int, potential, distance []int64, via []int32) bool {
	for i := range distance {
		distance[i] = far
	}
	distance[source] = 0
	queue := heap{{0, int32(source)}}
	for len(queue) > 0 {
		at := queue.pop()
		if at.distance > distance[at.node] {
			continue
		}
		if int(at.node) == sink {
			return true
		}
		for a := g.first[at.node]; a >= 0; a = g.next[a] {
			g.steps++
			if g.room[a] == 0 {
				continue
			}
			to := g.to[a]
			if d := at.distance + g.cost[a] + potential[at.node] - potential[to]; d < distance[to] {
				distance[to], via[to] = d, a
				queue.push(entry{d, to})
			}
		}
	}
	return false
}

// entry is a node that waits in a heap, the nearest first.
type entry struct {
	distance int64
	node     int32
}

type heap []entry

func (h *heap) push(e entry) {
	*h = append(*h, e)
	q := *h
	i := len(q) - 1
	for i > 0 && e.distance < q[(i-1)/2].distance {
		q[i] = q[(i-1)/2]
		i = (i - 1) / 2
	}
	q[i] = e
}

func (h *heap) pop() entry {
	q := *h
	top, last := q[0], q[len(q)-1]
	q = q[:len(q)-1]
	*h = q
	i := 0
	for child := 1; child < len(q); child = 2*i + 1 {
		if child+1 < len(q) && q[child+1].distance < q[child].distance {
			child++
		}
		if last.distance <= q[child].distance {
			break
		}
		q[i] = q[child]
		i = child
	}
	if len(q) > 0 {
		q[i] = last
	}
	return top
}
