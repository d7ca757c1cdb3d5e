\version "2.24.0"
% drills-made-from:0123456789abcdef
#(set-default-paper-size "a4")
#(set-global-staff-size 20.000)
#(define (broken words longest)
  ;; Words with a blank in whatever is longer than a line, for a word without an end.
  (string-join
    (append-map
      (lambda (word)
        (let cut ((left word))
          (if (<= (string-length left) longest)
              (list left)
              (cons (substring left 0 longest) (cut (substring left longest))))))
      (string-split words #\space))
    " "))
#(define (cut-to layout props points width text)
  ;; A text with a blank in every word that is wider than a line.
  (let* ((longest (max 1 (inexact->exact
                           (floor (/ width (* points (ly:output-def-lookup layout 'pt)))))))
         (wider? (lambda (word)
           (and (> (string-length word) longest)
                (> (interval-length
                     (ly:stencil-extent
                       (interpret-markup layout props (make-abs-fontsize-markup points word)) X))
                   width)))))
    (if (any wider? (string-split text #\space)) (broken text longest) text)))
#(define (drawn word)
  ;; A word whose flats and sharps are drawn, since no text face has them.
  (let ((signs (lambda (char)
          (case char
            ((#\x266d) (list (make-raise-markup 0.3 (make-fontsize-markup -2.8 (make-flat-markup)))))
            ((#\x266f) (list (make-raise-markup 0.55 (make-fontsize-markup -4.5 (make-sharp-markup)))))
            (else (list (string char)))))))
    (make-concat-markup (append-map signs (string->list word)))))
#(define (wrapped text)
  ;; A text in lines, as words; those with a flat or a sharp drawn.
  (if (string-any (lambda (char) (memv char '(#\x266d #\x266f))) text)
      (make-wordwrap-markup
        (map (lambda (word)
               (if (string-any (lambda (char) (memv char '(#\x266d #\x266f))) word)
                   (drawn word)
                   word))
             (string-split text #\space)))
      (make-wordwrap-string-markup text)))
#(define-markup-command (say layout props points text) (number? string?)
  ;; A text of a size in points whatever the staff size, wrapped at the line width; what
  ;; stands under several lines is as far from the last as they are from each other.
  (let* ((width (chain-assoc-get 'line-width props (ly:output-def-lookup layout 'line-width)))
         (skip (* 1.13 points (ly:output-def-lookup layout 'pt)))
         (words (wrapped (cut-to layout props points width text)))
         (said (interpret-markup layout props
           (make-abs-fontsize-markup points
             (make-override-markup (cons 'baseline-skip skip) words))))
         (tall (ly:stencil-extent said Y))
         (below (floor (+ 0.02 (/ (- (car tall)) skip)))))
    (if (>= below 1)
        (ly:make-stencil (ly:stencil-expr said) (ly:stencil-extent said X)
          (cons (- (* skip (+ below 0.34))) (cdr tall)))
        said)))
#(define-markup-command (ends layout props left right) (markup? markup?)
  ;; One markup at the left margin, one at the right.
  (interpret-markup layout props (make-fill-line-markup (list left right))))
#(define-markup-command (wide layout props width content) (number? markup?)
  ;; Content at the left of a column of a width in staff spaces.
  (interpret-markup layout props
    (make-pad-to-box-markup (cons 0 width) '(0 . 0) content)))
#(define-markup-command (grid layout props columns rows width height) (number? number? number? number?)
  ;; Empty boxes, side by side and one under the other.
  (let ((across (* columns width)) (down (* rows height)))
    (interpret-markup layout props
      (make-path-markup 0.1
        (append
          (append-map (lambda (n) `((moveto 0 ,(* n (- height))) (rlineto ,across 0)))
                      (iota (1+ rows)))
          (append-map (lambda (n) `((moveto ,(* n width) 0) (rlineto 0 ,(- down))))
                      (iota (1+ columns))))))))
#(define-markup-command (page-of layout props last) (symbol?)
  ;; "page 2 of 13", which ends at the right however many digits the label's page has.
  (let* ((page (chain-assoc-get 'page:page-number-string props ""))
         (words (lambda (count) (string-append "page " page " of " count)))
         (room (interpret-markup layout props (words "000")))
         (across (ly:stencil-extent room X))
         (told (lambda ()
           (let* ((pages (ly:output-def-lookup layout 'label-page-table))
                  (count (and (list? pages) (assoc-get last pages)))
                  (text (interpret-markup layout props
                          (words (if count (number->string count) "?"))))
                  (gap (- (cdr across) (cdr (ly:stencil-extent text X)))))
             (ly:stencil-expr (ly:stencil-translate-axis text gap X))))))
    (ly:make-stencil `(delay-stencil-evaluation ,(delay (told))) across
      (ly:stencil-extent room Y))))
#(define-markup-command (continued layout props blocks) (list?)
  ;; The name of the block that goes on at the top of this page, at the right margin: each is
  ;; told as its first label, its last, and its name.
  (let* ((page (string->number (chain-assoc-get 'page:page-number-string props "0")))
         (width (chain-assoc-get 'line-width props (ly:output-def-lookup layout 'line-width)))
         (table (lambda () (let ((pages (ly:output-def-lookup layout 'label-page-table)))
                             (if (list? pages) pages '()))))
         (goes-on? (lambda (pages block)
           (let ((from (assoc-get (first block) pages)) (to (assoc-get (second block) pages)))
             (and page from to (< from page) (<= page to)))))
         (told (lambda ()
           (let* ((found (find (lambda (block) (goes-on? (table) block)) blocks))
                  (text (interpret-markup layout props
                          (if found (make-bold-markup (third found)) "")))
                  (gap (if found (- width (cdr (ly:stencil-extent text X))) 0)))
             (ly:stencil-expr (ly:stencil-translate-axis text gap X)))))
         (room (interpret-markup layout props "Xg")))
    (ly:make-stencil `(delay-stencil-evaluation ,(delay (told))) (cons 0 width)
      (ly:stencil-extent room Y))))
#(define (count-pages layout pages)
  ;; How many pages a book part has, and what is wider than a line, for whoever reads the log.
  (ly:message "drills: pages ~a" (length pages))
  (for-each (lambda (page) (tell-wide page (ly:output-def-lookup layout 'line-width))) pages))
#(define (tell-wide page width)
  ;; Systems and texts that stand over a margin by more than a third of a staff space.
  (for-each
    (lambda (line)
      (let* ((found (ly:prob-property line 'stencil))
             (reach (if (ly:stencil? found) (ly:stencil-extent found X) '(0 . 0)))
             (over (max (- (car reach)) (- (cdr reach) width))))
        (if (and (< over +inf.0) (> over 1/3))
            (ly:warning "over the margin by ~a staff-spaces" over))))
    (ly:prob-property page 'lines)))
\paper {
  top-margin = 10\mm
  bottom-margin = 8\mm
  left-margin = 13\mm
  right-margin = 13\mm
  indent = 0
  tagline = ##f
  page-breaking = #ly:optimal-breaking
  bookpart-level-page-numbering = ##t
  page-post-process = #count-pages
  scoreTitleMarkup = \markup \fromproperty #'header:piece
  #(define fonts (set-global-fonts #:roman "Source Serif Pro" #:sans "Source Sans Pro" #:factor 1.000))
  system-system-spacing =
    #'((basic-distance . 10.500) (minimum-distance . 7.000) (padding . 0.500) (stretchability . 8.0))
  score-system-spacing =
    #'((basic-distance . 11.000) (minimum-distance . 7.000) (padding . 0.800) (stretchability . 12.0))
  markup-system-spacing =
    #'((basic-distance . 2.000) (minimum-distance . 0) (padding . 0.800) (stretchability . 2.0))
  score-markup-spacing =
    #'((basic-distance . 6.000) (minimum-distance . 3.000) (padding . 1.200) (stretchability . 20.0))
  markup-markup-spacing =
    #'((basic-distance . 0) (minimum-distance . 0) (padding . 0.600) (stretchability . 4.0))
  top-markup-spacing = #'((basic-distance . 0) (minimum-distance . 0) (padding . 0))
  top-system-spacing = #'((basic-distance . 1) (minimum-distance . 0) (padding . 1))
  last-bottom-spacing = #'((basic-distance . 3) (minimum-distance . 2) (padding . 2.049))
}
withAir = \paper {
  %% A sheet that takes several pages anyway.
  system-system-spacing =
    #'((basic-distance . 11.5) (minimum-distance . 9) (padding . 1.6) (stretchability . 8))
  score-system-spacing =
    #'((basic-distance . 12) (minimum-distance . 9) (padding . 1.8) (stretchability . 12))
  markup-system-spacing =
    #'((basic-distance . 3) (minimum-distance . 0) (padding . 1.6) (stretchability . 2))
  score-markup-spacing =
    #'((basic-distance . 9) (minimum-distance . 5) (padding . 2.8) (stretchability . 20))
}
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
\bookpart {
  \paper {
    \withAir
  system-system-spacing =
    #'((basic-distance . 10.500) (minimum-distance . 7.000) (padding . 0.500) (stretchability . 8.0))
  score-system-spacing =
    #'((basic-distance . 11.000) (minimum-distance . 7.000) (padding . 0.800) (stretchability . 12.0))
  markup-system-spacing =
    #'((basic-distance . 2.000) (minimum-distance . 0) (padding . 0.800) (stretchability . 2.0))
  score-markup-spacing =
    #'((basic-distance . 6.000) (minimum-distance . 3.000) (padding . 1.200) (stretchability . 20.0))
  markup-markup-spacing =
    #'((basic-distance . 0) (minimum-distance . 0) (padding . 0.600) (stretchability . 4.0))
    oddHeaderMarkup = \markup \unless \on-first-page-of-part \column { \sans \say #9 "Out Past the Breakwater · Section · Bar 33, the first bar of E, to bar 36" \vspace #0.9 }
    evenHeaderMarkup = \oddHeaderMarkup
    oddFooterMarkup = \markup \sans \ends \override #'(line-width . 79.668) \say #8.5 "Dedicated to the public domain (CC0 1.0)" \concat {
\abs-fontsize #8.5 \page-of #'last-of-1 }
    evenFooterMarkup = \oddFooterMarkup
  }
\markup \override #'(baseline-skip . 2.561) \column {
  \ends \abs-fontsize #17 \bold "Out Past the Breakwater" \abs-fontsize #13 "Section"
  \vspace #0.247
  \ends \override #'(line-width . 79.668) \say #11 "Bar 33, the first bar of E, to bar 36" \abs-fontsize #11 \concat { \fontsize #-3 \note {4} #UP \hspace #0.9 "= 112" }
  \vspace #0.228
  \sans \say #8.5 "Under each note, their place in the chord: R root, 3 major third, 5 fifth, ♭7 minor seventh. The small numbers beside them are cents for a beatless chord: 0 is the equal-tempered pitch, minus is lower, 100 is a semitone. Chords are named in concert pitch."
  \vspace #0.417
}
\score {
  <<
    \new Lyrics \with { \overBars #1.000 \textSize #-1.500 } \lyricmode { "33"1*2 "34"1 }
    \new Lyrics \with { \chordSymbols \overNotes #1.000 \textSize #0.500 } \lyricmode { \markup \concat { "B" \hspace #0.1 \raise #0.35 \fontsize #-2 \flat \hspace #0.25 }1 \markup \concat { "Gm7" }1 \markup \concat { "C7" \hspace #0.6 \fontsize #-3.5 "notes" }1 }
    \new StaffGroup \with { \sectionStaves #1.000 } <<
      \new Staff \with {
        instrumentName = \markup \abs-fontsize #9 \sans \override #'(baseline-skip . 2.2) \right-column { \line { \concat { "Flute 1" } } }
        shortInstrumentName = \markup \abs-fontsize #9 \sans \override #'(baseline-skip . 2.2) \right-column { \line { \concat { "Fl. 1" } } }
      } {
\accidentalStyle default
\clef "treble" \key bes \major \time 4/4
d''1 |
\noBreak
d''1 |
\bar "||"
c''1 |
      }
      \new Lyrics \with {
        \functionsUnder #1.000 \textSize #-1.350
      } \lyricmode { \markup \concat { "3" \hspace #0.35 \fontsize #-1.7 \raise #0.1 "−14" }1 \markup \concat { "5" \hspace #0.35 \fontsize #-1.7 \raise #0.1 "+2" }1 \markup \concat { "R" \hspace #0.35 \fontsize #-1.7 \raise #0.1 "0" }1 }
      \new Staff \with {
        instrumentName = \markup \abs-fontsize #9 \sans \override #'(baseline-skip . 2.2) \right-column { \line { \concat { "Clarinet 1 in B flat" } } }
        shortInstrumentName = \markup \abs-fontsize #9 \sans \override #'(baseline-skip . 2.2) \right-column { \line { \concat { "Cl. 1" } } }
      } {
\accidentalStyle default
\clef "treble" \key c \major \time 4/4
e''1 |
\noBreak
e''1 |
\bar "||"
d''1 |
      }
      \new Lyrics \with {
        \functionsUnder #1.000 \textSize #-1.350
      } \lyricmode { \markup \concat { "3" \hspace #0.35 \fontsize #-1.7 \raise #0.1 "−14" }1 \markup \concat { "5" \hspace #0.35 \fontsize #-1.7 \raise #0.1 "+2" }1 \markup \concat { "R" \hspace #0.35 \fontsize #-1.7 \raise #0.1 "0" }1 }
      \new Staff \with {
        instrumentName = \markup \abs-fontsize #9 \sans \override #'(baseline-skip . 2.2) \right-column { \line { \concat { "Clarinet 2 in B flat" } } }
        shortInstrumentName = \markup \abs-fontsize #9 \sans \override #'(baseline-skip . 2.2) \right-column { \line { \concat { "Cl. 2" } } }
      } {
\accidentalStyle default
\clef "treble" \key c \major \time 4/4
c''1 |
\noBreak
g'1 |
\bar "||"
c''1 |
      }
      \new Lyrics \with {
        \functionsUnder #1.000 \textSize #-1.350
      } \lyricmode { \markup \concat { "R" \hspace #0.35 \fontsize #-1.7 \raise #0.1 "0" }1 \markup \concat { \raise #0.3 \fontsize #-2.8 \flat \hspace #0.1 "7" \hspace #0.35 \fontsize #-1.7 \raise #0.1 "−31" }1 \markup \concat { \raise #0.3 \fontsize #-2.8 \flat \hspace #0.1 "7" \hspace #0.35 \fontsize #-1.7 \raise #0.1 "−31" }1 }
    >>
  >>
  \header {
    piece = \markup \abs-fontsize #10.5 \sans \bold "The spot in its chords"
  }
  \layout {
    #(layout-set-staff-size 20.000)
  #(define fonts (set-global-fonts #:roman "Source Serif Pro" #:sans "Source Sans Pro" #:factor 1.000))
    indent = 36.858\mm
    short-indent = 11.829\mm
    ragged-right = ##t
    \context {
      \Score
      \override SpacingSpanner.base-shortest-duration = #(ly:make-moment 1/8)
      \override SpacingSpanner.common-shortest-duration = #(ly:make-moment 1/8)
      \override SpacingSpanner.spacing-increment = #1.200
    }
    \context {
      \Staff
      \override InstrumentName.self-alignment-X = #RIGHT
      \override InstrumentName.padding = #0.6
    }
  }
}
\score {
  <<
    \new Lyrics \with { \overBars #1.000 \textSize #-1.500 } \lyricmode { "33, beats 1 to 2"1*1/2 "34, beats 1 to 2"1*1/2 }
    \new StaffGroup \with { \sectionStaves #1.000 } <<
      \new Staff \with {
        instrumentName = \markup \abs-fontsize #9 \sans \override #'(baseline-skip . 2.2) \right-column { \line { \concat { "Flute 1" } } }
        shortInstrumentName = \markup \abs-fontsize #9 \sans \override #'(baseline-skip . 2.2) \right-column { \line { \concat { "Fl. 1" } } }
      } {
\accidentalStyle default
\bar ".|:"
\repeat volta 2 {
\clef "treble" \key bes \major \time 4/8
d''8 d''8 c''8 c''8 |
}
\repeat volta 2 {
d''8 c''8 c''8 d''8 |
}
      }
      \new Staff \with {
        instrumentName = \markup \abs-fontsize #9 \sans \override #'(baseline-skip . 2.2) \right-column { \line { \concat { "Clarinet 1 in B flat" } } }
        shortInstrumentName = \markup \abs-fontsize #9 \sans \override #'(baseline-skip . 2.2) \right-column { \line { \concat { "Cl. 1" } } }
      } {
\accidentalStyle default
\bar ".|:"
\repeat volta 2 {
\clef "treble" \key c \major \time 4/8
e''8 e''8 d''8 d''8 |
}
\repeat volta 2 {
e''8 d''8 d''8 e''8 |
}
      }
      \new Staff \with {
        instrumentName = \markup \abs-fontsize #9 \sans \override #'(baseline-skip . 2.2) \right-column { \line { \concat { "Clarinet 2 in B flat" } } }
        shortInstrumentName = \markup \abs-fontsize #9 \sans \override #'(baseline-skip . 2.2) \right-column { \line { \concat { "Cl. 2" } } }
      } {
\accidentalStyle default
\bar ".|:"
\repeat volta 2 {
\clef "treble" \key c \major \time 4/8
c''8 g'8 c''8 f'8 |
}
\repeat volta 2 {
g'8 c''8 f'8 a'8 |
}
      }
    >>
  >>
  \header {
    piece = \markup \abs-fontsize #10.5 \sans \bold "Cells, all together"
  }
  \layout {
    #(layout-set-staff-size 20.000)
  #(define fonts (set-global-fonts #:roman "Source Serif Pro" #:sans "Source Sans Pro" #:factor 1.000))
    indent = 36.858\mm
    short-indent = 11.829\mm
    ragged-right = ##f
    \context {
      \Score
      \override SpacingSpanner.base-shortest-duration = #(ly:make-moment 1/8)
      \override SpacingSpanner.common-shortest-duration = #(ly:make-moment 1/8)
      \override SpacingSpanner.spacing-increment = #1.200
    }
    \context {
      \Staff
      \override InstrumentName.self-alignment-X = #RIGHT
      \override InstrumentName.padding = #0.6
    }
  }
}
  \noPageBreak
  \label #'last-of-1
\markup \override #'(baseline-skip . 1.707) \column {
  \vspace #0.171
  \sans \say #8 "Rest often, stop at pain."
  \sans \italic \say #8 "the numbers of the bars are those of Flute 1"
}
}
