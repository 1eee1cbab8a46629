package plan

// Plan is what to buy where, where it is stowed and when it is eaten. Field
// names are the contract; amounts are item-units except in Missing,
// ReserveMissing and Unreachable, which are need-units.
type Plan struct {
	Version        int              `json:"plan"` // 1
	Currency       string           `json:"currency"`
	Cost           Cost             `json:"cost"`
	Bound          float64          `json:"bound"` // no plan for the brief costs less
	Gap            float64          `json:"gap"`   // (total - bound) / total, 0 when the total is 0
	Purchases      []Purchase       `json:"purchases"`
	Draws          []Draw           `json:"draws"`
	Discards       []Discard        `json:"discards"`
	Missing        []Missing        `json:"missing"`
	ReserveMissing []ReserveMissing `json:"reserve_missing"`
	Trips          []Trip           `json:"trips"`
	Unreachable    []Missing        `json:"unreachable"`
	Warnings       []string         `json:"warnings"`
}

// Cost is the objective and its parts.
type Cost struct {
	Goods          float64 `json:"goods"`
	Trips          float64 `json:"trips"`
	Lines          float64 `json:"lines"`
	Taste          float64 `json:"taste"`
	Missing        float64 `json:"missing"`
	ReserveMissing float64 `json:"reserve_missing"`
	Total          float64 `json:"total"`
}

// Purchase is packs bought of one offer.
type Purchase struct {
	ID          string   `json:"id"`
	Stop        int      `json:"stop"`
	Need        string   `json:"need"`
	Item        string   `json:"item"`
	Pack        float64  `json:"pack"`
	Packs       int      `json:"packs"`
	Price       float64  `json:"price"` // per pack
	EatenInPort float64  `json:"eaten_in_port"`
	Stowed      []Stowed `json:"stowed"`
}

// Stowed is how much of a purchase goes into a space on departure.
type Stowed struct {
	Space  string  `json:"space"`
	Amount float64 `json:"amount"`
}

// Draw is what is eaten of a lot in a period ("stay 3", "leg 2").
type Draw struct {
	Need   string  `json:"need"`
	Item   string  `json:"item"`
	Lot    string  `json:"lot"` // purchase id, or "aboard 0"
	Space  string  `json:"space"`
	Period string  `json:"period"`
	Amount float64 `json:"amount"`
}

// Discard is thrown away or given away before the departure of Stop.
type Discard struct {
	Item   string  `json:"item"`
	Lot    string  `json:"lot"`
	Space  string  `json:"space"`
	Stop   int     `json:"stop"`
	Amount float64 `json:"amount"`
}

// Missing is use that stays unmet in a period.
type Missing struct {
	Need   string  `json:"need"`
	Period string  `json:"period"`
	Amount float64 `json:"amount"`
}

// ReserveMissing is reserve lacking on arrival after a leg.
type ReserveMissing struct {
	Need   string  `json:"need"`
	Leg    int     `json:"leg"`
	Amount float64 `json:"amount"`
}

// Trip is the number of shopping trips at a stop.
type Trip struct {
	Stop  int `json:"stop"`
	Count int `json:"count"`
}
