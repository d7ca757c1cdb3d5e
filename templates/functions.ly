<%# How chords, functions and the staves of a section are set; only where there are any. %>
#(define (near scale basic least padding . stretch)
  ;; How far apart two lines stand, in staff spaces of a staff of ``scale`` usual sizes:
  ;; LilyPond counts such distances in staff spaces of the paper, whatever the staff.
  `((basic-distance . ,(* scale basic)) (minimum-distance . ,(* scale least))
    (padding . ,(* scale padding)) (stretchability . ,(if (null? stretch) 0 (car stretch)))))

functionsUnder =
#(define-scheme-function (scale) (number?)
  #{ \with {
    \smallPrint
    \override LyricSpace.minimum-distance = #0.5
    \override VerticalAxisGroup.skyline-horizontal-padding = #0.6
    \override VerticalAxisGroup.staff-affinity = #UP
    \override VerticalAxisGroup.nonstaff-relatedstaff-spacing = #(near scale 4 3.4 0.6)
    \override VerticalAxisGroup.nonstaff-nonstaff-spacing = #(near scale 2.1 2.1 0.2)
    \override VerticalAxisGroup.nonstaff-unrelatedstaff-spacing = #(near scale 0 0 1.3)
  } #})

overBars =
#(define-scheme-function (scale) (number?)
  #{ \with {
    \smallPrint
    \override LyricText.self-alignment-X = #LEFT
    \override VerticalAxisGroup.staff-affinity = #DOWN
    \override VerticalAxisGroup.nonstaff-relatedstaff-spacing = #(near scale 3.4 3 0.7)
    \override VerticalAxisGroup.nonstaff-nonstaff-spacing = #(near scale 2.9 2.8 0.5)
  } #})

sectionStaves =
#(define-scheme-function (scale) (number?)
  #{ \with {
    \override StaffGrouper.staff-staff-spacing = #(near scale 7 5 0.8 5)
  } #})

overNotes =
#(define-scheme-function (scale) (number?)
  #{ \with {
    \override LyricSpace.minimum-distance = #1.6
    \override VerticalAxisGroup.nonstaff-relatedstaff-spacing = #(near scale 4.4 4 0.9)
  } #})
