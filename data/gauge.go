package data

// SheetGauge is one gauge number of sheet steel. Stainless sheet, tube walls and
// electrical wire each use another list.
type SheetGauge struct {
	Gauge        int     `csv:"gauge"`
	UncoatedIn   float64 `csv:"uncoated_in"`            // Manufacturers' Standard Gauge
	GalvanizedIn float64 `csv:"galvanized_in,optional"` // coating included; 0: not in the list
	Row
}

// TubeWall is one Birmingham gauge, in which tube walls are sold.
type TubeWall struct {
	Gauge  int     `csv:"gauge"`
	WallIn float64 `csv:"wall_in"`
	Row
}

// SquareTube is a stock size of square tube.
type SquareTube struct {
	OutsideIn float64 `csv:"outside_in"`
	WallIn    float64 `csv:"wall_in"`
	Row
}

// Pipe is a size of schedule 40 pipe.
type Pipe struct {
	Nominal   string  `csv:"nominal"` // NPS in inches: 1/2, 1-1/4, 4
	OutsideIn float64 `csv:"outside_in"`
	WallIn    float64 `csv:"wall_in"`
	Row
}

var (
	sheetGauges = table[SheetGauge]("sheet_gauges.csv")
	tubeWalls   = table[TubeWall]("tube_walls.csv")
	squareTubes = table[SquareTube]("square_tubes.csv")
	pipes       = table[Pipe]("pipes.csv")
)

// SheetGauges returns sheet gauges, thick to thin.
func SheetGauges() []SheetGauge { return sheetGauges() }

// TubeWalls returns tube wall gauges, thick to thin.
func TubeWalls() []TubeWall { return tubeWalls() }

// SquareTubes returns stock square tube, small to large.
func SquareTubes() []SquareTube { return squareTubes() }

// Pipes returns schedule 40 pipe, small to large.
func Pipes() []Pipe { return pipes() }
