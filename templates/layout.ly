<%# How music is set: cells, lines and the excerpt share it. %>

#(define ((printed-numbers texts) number position alternative context)
  ;; The bar numbers of the part, which need not be numbers.
  (markup #:sans (list-ref texts (min (1- number) (1- (length texts))))))

#(define (beside-bar-line number)
  ;; A bar number ends at its bar line, clear of the first note; over a clef it begins there.
  (if (= RIGHT (ly:item-break-dir number)) LEFT RIGHT))

scoopSign = \markup \sans \fontsize #-3 "scoop"
plopSign = \markup \sans \fontsize #-3 "plop"

#(define-markup-command (lowered layout props heading) (markup?)
  ;; A heading with room above it, under the numbers of the excerpt.
  (interpret-markup layout props (make-column-markup (list (make-vspace-markup 0.25) heading))))

smallPrint = \with {
  \override LyricText.font-family = #'sans
  \override LyricText.font-series = #'medium
}

textSize =
#(define-scheme-function (size) (number?)
  ;; The size of a row of text.
  #{ \with { \override LyricText.font-size = #size } #})

#(define (with-room label)
  ;; A label as wide as it is, and the room after it.
  (let ((across (ly:stencil-extent (ly:grob-property label 'stencil) X)))
    (cons (car across) (+ (cdr across) 1.0))))

overCells = \with {
  \smallPrint
  \override LyricText.X-extent = #with-room
  \override LyricText.vertical-skylines = #ly:grob::simple-vertical-skylines-from-extents
  \override LyricText.self-alignment-X = #LEFT
  \override LyricSpace.minimum-distance = #2.5
  \override VerticalAxisGroup.staff-affinity = #DOWN
  \override VerticalAxisGroup.nonstaff-relatedstaff-spacing =
    #'((basic-distance . 3.4) (minimum-distance . 3) (padding . 0.7) (stretchability . 0))
}

underNotes = \with {
  \smallPrint
  \override LyricSpace.minimum-distance = #0.3
  \override VerticalAxisGroup.skyline-horizontal-padding = #0.6
  \override VerticalAxisGroup.staff-affinity = #UP
  \override VerticalAxisGroup.nonstaff-relatedstaff-spacing =
    #'((basic-distance . 4.5) (minimum-distance . 4) (padding . 0.6) (stretchability . 0))
}

chordSymbols = \with {
  \smallPrint
  \override LyricText.self-alignment-X = #LEFT
  \override VerticalAxisGroup.staff-affinity = #DOWN
}

overLevel =
#(define-scheme-function (level) (number?)
  ;; A row over bar numbers that stand so high over the middle line.
  #{ \with {
    \override VerticalAxisGroup.nonstaff-relatedstaff-spacing =
      #`((basic-distance . ,(+ level 2)) (minimum-distance . ,(+ level 2)) (padding . 0.6)
         (stretchability . 0))
  } #})

#(define (cleared name scripts)
  ;; A sign that keeps clear of accidentals, as things outside the staff do.
  (acons name
    (acons 'outside-staff-priority 50
      (acons 'outside-staff-padding 0.4 (assq-ref scripts name)))
    scripts))

#(define (clear-of-staff number)
  ;; The figure of a tuplet on its side of the staff, never inside it.
  (let* ((y (ly:tuplet-number::calc-y-offset number))
         (bracket (ly:grob-object number 'bracket #f))
         (clear (* 2.9 (ly:staff-symbol-staff-space number)))
         (side (if (ly:grob? bracket) (ly:grob-property bracket 'direction UP) UP)))
    (if (= side UP) (max y clear) (min y (- clear)))))

\layout {
  \context {
    \Score
    scriptDefinitions = #(cleared 'accent (cleared 'marcato default-script-alist))
    \remove Bar_number_engraver
    doubleRepeatBarType = ":|.|:"
    \override SpacingSpanner.base-shortest-duration = #(ly:make-moment 1/16)
    \override SpacingSpanner.common-shortest-duration = #(ly:make-moment 1/16)
  }
  \context {
    \Staff
    \override BarLine.thick-thickness = #3
    \override BarLine.kern = #2.2
    \numericTimeSignature
    \accidentalStyle modern
  }
  \context {
    \Voice
    autoBeaming = ##f
    \override TupletNumber.Y-offset = #clear-of-staff
  }
}
