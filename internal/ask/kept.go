package ask

import "overhang/internal/plan"

// Kept is what the process keeps of boards.
type Kept = plan.Kept

// KeptNow is what it keeps of them now.
func KeptNow() Kept { return plan.KeptNow() }
