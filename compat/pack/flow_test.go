package pack

import (
	"math/rand/v2"
	"testing"
)

// TestCheapest holds the flow to the plain algorithm without potentials, on
// random networks that are no bipartite ones.
func TestCheapest(t *testing.T) {
	random := rand.New(rand.NewPCG(60, 100))
	for range 2000 {
		nodes := 4 + random.IntN(6)
		ours, plain := newGraph(nodes), newGraph(nodes)
		for range nodes * 3 {
			from, to, room, cost := random.IntN(nodes), random.IntN(nodes), random.Int64N(6), random.Int64N(30)
			if from != to {
				ours.arc(from, to, room, cost)
				plain.arc(from, to, room, cost)
			}
		}
		sent, want := ours.cheapest(0, 1), plain.byBellmanFord(0, 1)
		if sent != want || ours.total() != plain.total() {
			t.Fatalf("sent %d at %d, plain %d at %d", sent, ours.total(), want, plain.total())
		}
	}
}

func (g *graph) total() (sum int64) {
	for a := 0; a < len(g.to); a += 2 {
		sum += g.room[a+1] * g.cost[a]
	}
	return sum
}

// byBellmanFord sends one piece after another along the shortest path, arcs with
// a cost below zero and all.
func (g *graph) byBellmanFord(source, sink int) (sent int64) {
	for {
		distance, via := make([]int64, len(g.first)), make([]int, len(g.first))
		for v := range distance {
			distance[v] = far / 2
		}
		distance[source] = 0
		for range g.first {
			for a := range g.to {
				from, to := g.to[a^1], g.to[a]
				if d := distance[from] + g.cost[a]; g.room[a] > 0 && distance[from] < far/2 && d < distance[to] {
					distance[to], via[to] = d, a
				}
			}
		}
		if distance[sink] == far/2 {
			return sent
		}
		for v := sink; v != source; v = int(g.to[via[v]^1]) {
			g.push(via[v], 1)
		}
		sent++
	}
}
