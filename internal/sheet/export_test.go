package sheet

// ReckonInLayers is Reckon with another thickness of the layers of a climb or descent.
func (r *Route) ReckonInLayers(from Start, through Air, layerFt float64) (Trajectory, error) {
	return r.reckon(from, through, layerFt)
}
