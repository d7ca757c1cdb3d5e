<%# How chords, functions and the staves of a section are set; only where there are any. %>
functionsUnder = \with {
  \smallPrint
  \override LyricSpace.minimum-distance = #0.5
  \override VerticalAxisGroup.skyline-horizontal-padding = #0.6
  \override VerticalAxisGroup.staff-affinity = #UP
  \override VerticalAxisGroup.nonstaff-relatedstaff-spacing =
    #'((basic-distance . 4) (minimum-distance . 3.4) (padding . 0.6) (stretchability . 0))
  \override VerticalAxisGroup.nonstaff-nonstaff-spacing =
    #'((basic-distance . 2.1) (minimum-distance . 2.1) (padding . 0.2) (stretchability . 0))
  \override VerticalAxisGroup.nonstaff-unrelatedstaff-spacing =
    #'((basic-distance . 0) (minimum-distance . 0) (padding . 1.3) (stretchability . 0))
}

overBars = \with {
  \smallPrint
  \override LyricText.self-alignment-X = #LEFT
  \override VerticalAxisGroup.staff-affinity = #DOWN
  \override VerticalAxisGroup.nonstaff-relatedstaff-spacing =
    #'((basic-distance . 3.4) (minimum-distance . 3) (padding . 0.7) (stretchability . 0))
  \override VerticalAxisGroup.nonstaff-nonstaff-spacing =
    #'((basic-distance . 2.4) (minimum-distance . 2.4) (padding . 0.3) (stretchability . 0))
}

sectionStaves = \with {
  \override StaffGrouper.staff-staff-spacing =
    #'((basic-distance . 7) (minimum-distance . 5) (padding . 0.8) (stretchability . 5))
}

overNotes = \with {
  \override LyricSpace.minimum-distance = #1.6
  \override VerticalAxisGroup.nonstaff-relatedstaff-spacing =
    #'((basic-distance . 4.4) (minimum-distance . 4) (padding . 0.9) (stretchability . 0))
}
