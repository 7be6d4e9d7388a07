package sheet_test

import (
	"fmt"
	"os"

	"example.org/pinstack/examples/internal/sheet"
)

func ExampleClock() {
	fmt.Println(sheet.Clock(7.25))
	fmt.Println(sheet.Clock(5025))
	// Output:
	// 7.2 s
	// 1 h 23 min 45 s
}

func ExampleSheet_WriteText() {
	s := sheet.Sheet{
		Job: "tide-gauge", Revision: "B", Note: "invented", Panels: 60, Boards: 6, Width: 300, Height: 200, Thickness: 1, Material: "FR-4",
		Machine: "one spindle", Hash: "0badc0de", LotSeconds: 5025, CostPerPanel: 2.5,
		LotTime:   sheet.Times{Stroke: 4020, Load: 1005},
		CostSplit: sheet.Cost{Machine: 2, Tools: 0.5},
	}
	if err := s.WriteText(os.Stdout); err != nil {
		fmt.Println(err)
	}
	// Output:
	// JOB SHEET  tide-gauge, revision B (invented)
	// 60 panels of 6 boards, 300 x 200 mm, FR-4 1 mm
	// machine one spindle
	// content 0badc0de
	// NOT CHECKED: no check has been made of this job
	//
	// THE LOT
	//   machine time 1 h 23 min 45 s, cost a panel 2.50
	//   time by cause  of lot  time
	//          travel   0.0 %  0.0 s
	//          settle   0.0 %  0.0 s
	//          stroke  80.0 %  1 h 7 min 0 s
	//            rout   0.0 %  0.0 s
	//     tool change   0.0 %  0.0 s
	//            load  20.0 %  16 min 45 s
	//   cost by cause  of cost  a panel
	//         machine   80.0 %  2.00
	//           tools   20.0 %  0.50
	//          sheets    0.0 %  0.00
	//          set-up    0.0 %  0.00
}
