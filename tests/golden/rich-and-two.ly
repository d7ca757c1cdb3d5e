\version "2.24.0"
% drills-made-from:0123456789abcdef
#(set-default-paper-size "letter")
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
\bookpart {
  \paper {
  system-system-spacing =
    #'((basic-distance . 12.600) (minimum-distance . 8.400) (padding . 0.600) (stretchability . 8.0))
  score-system-spacing =
    #'((basic-distance . 13.200) (minimum-distance . 8.400) (padding . 0.960) (stretchability . 12.0))
  markup-system-spacing =
    #'((basic-distance . 2.400) (minimum-distance . 0) (padding . 0.960) (stretchability . 2.0))
  score-markup-spacing =
    #'((basic-distance . 7.200) (minimum-distance . 3.600) (padding . 1.440) (stretchability . 20.0))
  markup-markup-spacing =
    #'((basic-distance . 0) (minimum-distance . 0) (padding . 0.720) (stretchability . 4.0))
    page-count = 1
    ragged-last-bottom = ##f
    oddHeaderMarkup = \markup \unless \on-first-page-of-part \column { \sans \say #9 "Breakwater March · Clarinet 2 in B flat · Bar 33, the first bar of E, to beat 1 of bar 34" \vspace #0.9 }
    evenHeaderMarkup = \oddHeaderMarkup
    oddFooterMarkup = \markup \sans \ends \override #'(line-width . 79.668) \say #8.5 "Free to copy for the players of the harbour band" \concat {
\abs-fontsize #13 \bold "Sheet 4" \hspace #1.707 \abs-fontsize #8.5 \page-of #'last-of-4 }
    evenFooterMarkup = \oddFooterMarkup
  }
\markup \override #'(baseline-skip . 2.561) \column {
  \ends \abs-fontsize #17 \bold "Breakwater March" \abs-fontsize #13 "Clarinet 2 in B flat"
  \vspace #0.247
  \ends \override #'(line-width . 79.668) \say #11.5 "Bar 33, the first bar of E, to beat 1 of bar 34" \abs-fontsize #11.5 \concat { \fontsize #-3 \note {4} #UP \hspace #0.9 "= 120" }
  \vspace #0.076
  \draw-hline
  \vspace #0.095
}
\score {
  <<
    \new Staff {
\mark \markup { \box "A \"1\"" }
\clef "treble" \key c \major \time 4/4 \set Timing.measureLength = #(ly:make-moment 1/4)
g'4 |
\set Timing.measureLength = #(ly:make-moment 1/1)
\tempo "Allegro" 4 = 120 <c'' e'' g''>2~\=1( <c'' e'' g''>4 d''4\=1) |
\bar ".|:"
\slashedGrace { b'8\=7( } c''4\=7) \grace { g'16[ a'16] } d''4 \afterGrace e''2 { g'16[ a'16] } |
\set Score.repeatCommands = #(list (list 'volta (markup #:normal-text "1")))
cih''4 deh''4 eisih''4 feseh''4 |
cisis''4 deses''4 r2 |
\bar ":|."
\set Score.repeatCommands = #(list (list 'volta #f) (list 'volta (markup #:normal-text "2")))
R1 |
\set Score.repeatCommands = #(list (list 'volta #f))
\tuplet 3/2 { c''8[ d''8 e''8] } \tuplet 3/2 { f''4 r8 } \tuplet 5/4 { g''8 \tuplet 3/2 { b''8 b''8 b''8 } a''8 g''8 } |
\time 9/4
<>\sfz c''8-> c''8-^ c''8-. c''8-! <>_\markup \dynamic "sffpp" c''8-- c''8-_ <>^\markup "dolce \"molto\" \\ #(exit) %{" c''8 \breathe c''8\fermata c''8\trill c''8\turn c''8\reverseturn c''8\mordent c''8\prall c''8:32 c''8^\scoopSign c''8^\plopSign c''8\bendAfter #4  c''8\bendAfter #-4  |
\key e \major \time 4/4
\ottava #1 c''''4 d''''4 \ottava #0 c''2 |
\clef "bass" \key c \major
c'4 \key ges \major d'4 \clef "tenor" e'4 f'4 |
\key c \major
s2 s1*1/4 a4 |
\clef "treble" \set Staff.keyAlterations = #'((3 . 1/2) (6 . -1/2))
c''1 |
\key c \major \once \override Staff.TimeSignature.style = #'C \time 4/4
c''2 d''2 |
\once \override Staff.TimeSignature.style = #'C \time 2/2
c''2 d''2 |
\compoundMeter #'((3 2 8))
c''4. d''4 |
\bar "||"
\once \omit Staff.TimeSignature \time 4/4 \set Timing.measureLength = #(ly:make-moment 13/8)
c''2. d''2.. |
\time 4/4
\teeny c''4 \normalsize s4 r2 |
\set Timing.measureLength = #(ly:make-moment 5/4)
c''2 d''2 e''4 |
\noBreak
\set Timing.measureLength = #(ly:make-moment 1/4)
e''8\repeatTie f''8 |
\bar ""
    }
    \new Lyrics \with { \underNotes \textSize #-2.000 } \lyricmode { "1"1*1/4 "2"1*3/4 "3"1*1/4 "4"1*1/4 "5"1*1/4 "6"1*1/2 "7"1*1/4 "8"1*1/4 "*9"1*1/4 "*10"1*1/4 "11"1*1/4 "12"1*7/4 "13"1*1/12 "14"1*1/12 "15"1*1/12 "16"1*1/4 "*17"1*1/10 "18"1*1/15 "19"1*1/15 "20"1*1/15 "21"1*1/10 "22"1*1/10 "23"1*1/8 "24"1*1/8 "25"1*1/8 "26"1*1/8 "27"1*1/8 "28"1*1/8 "29"1*1/8 "30"1*1/8 "31"1*1/8 "32"1*1/8 "33"1*1/8 "34"1*1/8 "35"1*1/8 "36"1*1/8 "37"1*1/8 "38"1*1/8 "39"1*1/8 "40"1*1/8 "41"1*1/4 "42"1*1/4 "43"1*1/2 "44"1*1/4 "45"1*1/4 "46"1*1/4 "47"1 "48"1*1/4 "49"1 "50"1*1/2 "51"1*1/2 "52"1*1/2 "53"1*1/2 "54"1*3/8 "55"1*1/4 "56"1*3/4 "57"1*15/8 "58"1*1/2 "59"1*1/2 "60"1*3/8 "61"1*1/8 }
  >>
  \layout {
    #(layout-set-staff-size 24.000)
  #(define fonts (set-global-fonts #:roman "Source Serif Pro" #:sans "Source Sans Pro" #:factor 1.200))
    ragged-right = ##f
    \context {
      \Staff
      \consists Bar_number_engraver
      \override BarNumber.break-visibility = ##(#f #t #t)
      \override BarNumber.font-size = #-0.5
      \override BarNumber.self-alignment-X = #beside-bar-line
      \override BarNumber.outside-staff-priority = ##f
      \override BarNumber.Y-offset = #6.360
    }
    \context {
      \Score
      barNumberVisibility = #(lambda (number position) (equal? position ZERO-MOMENT))
      barNumberFormatter = #(printed-numbers '("0" "1" "2" "3" "4" "5a" "6" "7" "8" "9" "10" "11" "12" "13" "14" "15" "16" "17" "" ))
    }
  }
}
\score {
  <<
    \new Staff {
\clef "treble" \key ees \major \time 4/4
c''16[ d''16 ees''16 fis''16] g''16[ aes''16 b''16 c'''16] d'''16[ b''16 aes''16 g''16] fis''16[ ees''16 d''16 b'16] |
\noBreak
c''2 r2 |
    }
  >>
  \header {
    piece = \markup \override #'(baseline-skip . 2.390) \column {
  \ends \line { \abs-fontsize #11.5 \bold "The whole line, even" \hspace #0.569 \abs-fontsize #9.5 \sans "Five times right in a row, then one number up." } \abs-fontsize #9.5 \sans ""
  \vspace #0.114
  \concat {
    \wide #9.674 \abs-fontsize #11 \concat { \fontsize #-3 \note {4} #UP \hspace #0.910 "=" }
    \wide #9.674 \concat { \abs-fontsize #11 \sans \bold "46" \hspace #0.683 \lower #0.171 \raise #1.650 \grid #1 #1 #1.650 #1.650 }
    \wide #9.674 \concat { \abs-fontsize #11 \sans \bold "52" \hspace #0.683 \lower #0.171 \raise #1.650 \grid #1 #1 #1.650 #1.650 }
    \wide #9.674 \concat { \abs-fontsize #11 \sans \bold "60" \hspace #0.683 \lower #0.171 \raise #1.650 \grid #1 #1 #1.650 #1.650 }
    \wide #9.674 \concat { \abs-fontsize #11 \sans \bold "69" \hspace #0.683 \lower #0.171 \raise #1.650 \grid #1 #1 #1.650 #1.650 }
    \wide #9.674 \concat { \abs-fontsize #11 \sans \bold "80" \hspace #0.683 \lower #0.171 \raise #1.650 \grid #1 #1 #1.650 #1.650 }
    \wide #9.674 \concat { \abs-fontsize #11 \sans \bold "92" \hspace #0.683 \lower #0.171 \raise #1.650 \grid #1 #1 #1.650 #1.650 }
    \wide #9.674 \concat { \abs-fontsize #11 \sans \bold "108" \hspace #0.683 \lower #0.171 \raise #1.650 \grid #1 #1 #1.650 #1.650 }
    \wide #9.674 \concat { \abs-fontsize #11 \sans \bold "120" \hspace #0.683 \lower #0.171 \raise #1.650 \grid #1 #1 #1.650 #1.650 }
  }
}
  }
  \layout {
    #(layout-set-staff-size 24.000)
  #(define fonts (set-global-fonts #:roman "Source Serif Pro" #:sans "Source Sans Pro" #:factor 1.200))
    ragged-right = ##f
    \context {
      \Score
      \override NonMusicalPaperColumn.page-break-permission = ##f
    }
  }
}
\markup \override #'(baseline-skip . 2.390) \column {
  \ends \line { \abs-fontsize #11.5 \bold "The line as written" \hspace #0.569 \abs-fontsize #9.5 \sans "The spot on top of the page. Five times right in a row, then one number up." } \abs-fontsize #9.5 \sans ""
  \vspace #0.114
  \concat {
    \wide #22.762 \abs-fontsize #11 \concat { \fontsize #-3 \note {4} #UP \hspace #0.910 "=" }
    \wide #9.674 \concat { \abs-fontsize #11 \sans \bold "46" \hspace #0.683 \lower #0.171 \raise #1.650 \grid #1 #1 #1.650 #1.650 }
    \wide #9.674 \concat { \abs-fontsize #11 \sans \bold "52" \hspace #0.683 \lower #0.171 \raise #1.650 \grid #1 #1 #1.650 #1.650 }
    \wide #9.674 \concat { \abs-fontsize #11 \sans \bold "60" \hspace #0.683 \lower #0.171 \raise #1.650 \grid #1 #1 #1.650 #1.650 }
    \wide #9.674 \concat { \abs-fontsize #11 \sans \bold "69" \hspace #0.683 \lower #0.171 \raise #1.650 \grid #1 #1 #1.650 #1.650 }
    \wide #9.674 \concat { \abs-fontsize #11 \sans \bold "80" \hspace #0.683 \lower #0.171 \raise #1.650 \grid #1 #1 #1.650 #1.650 }
    \wide #9.674 \concat { \abs-fontsize #11 \sans \bold "92" \hspace #0.683 \lower #0.171 \raise #1.650 \grid #1 #1 #1.650 #1.650 }
    \wide #9.674 \concat { \abs-fontsize #11 \sans \bold "108" \hspace #0.683 \lower #0.171 \raise #1.650 \grid #1 #1 #1.650 #1.650 }
    \wide #9.674 \concat { \abs-fontsize #11 \sans \bold "120" \hspace #0.683 \lower #0.171 \raise #1.650 \grid #1 #1 #1.650 #1.650 }
  }
  \concat {
    \wide #22.762 \override #'(line-width . 21.909) \sans \say #9.5 "on beats 2 and 4 only"
    \wide #9.674 \abs-fontsize #10 \sans "–"
    \wide #9.674 \abs-fontsize #10 \sans "–"
    \wide #9.674 \abs-fontsize #10 \sans "30"
    \wide #9.674 \abs-fontsize #10 \sans "35"
    \wide #9.674 \abs-fontsize #10 \sans "40"
    \wide #9.674 \abs-fontsize #10 \sans "46"
    \wide #9.674 \abs-fontsize #10 \sans "54"
    \wide #9.674 \abs-fontsize #10 \sans "60"
  }
  \concat {
    \wide #22.762 \override #'(line-width . 21.909) \sans \say #9.5 "on beat 4 only"
    \wide #9.674 \abs-fontsize #10 \sans "–"
    \wide #9.674 \abs-fontsize #10 \sans "–"
    \wide #9.674 \abs-fontsize #10 \sans "–"
    \wide #9.674 \abs-fontsize #10 \sans "–"
    \wide #9.674 \abs-fontsize #10 \sans "–"
    \wide #9.674 \abs-fontsize #10 \sans "–"
    \wide #9.674 \abs-fontsize #10 \sans "–"
    \wide #9.674 \abs-fontsize #10 \sans "30"
  }
  \concat {
    \wide #22.762 \override #'(line-width . 21.909) \sans \say #9.5 "every three sixteenths"
    \wide #9.674 \abs-fontsize #10 \sans "61"
    \wide #9.674 \abs-fontsize #10 \sans "69"
    \wide #9.674 \abs-fontsize #10 \sans "80"
    \wide #9.674 \abs-fontsize #10 \sans "92"
    \wide #9.674 \abs-fontsize #10 \sans "107"
    \wide #9.674 \abs-fontsize #10 \sans "123"
    \wide #9.674 \abs-fontsize #10 \sans "144"
    \wide #9.674 \abs-fontsize #10 \sans "160"
  }
}
  %% The foot never stands alone on a page.
  \noPageBreak
  \label #'last-of-4
\markup \override #'(baseline-skip . 2.219) \column {
  \vspace #0.171
  \override #'(baseline-skip . 1.764) \column {
    \sans \say #8 "*9: the move from 8 to 9 is a hard one."
    \sans \say #8 "Repeat slowly and correctly: what is repeated wrong is learned wrong."
    \sans \say #8 "Rest often, stop at pain, and keep the level in headphones low. Your teacher's and your doctor's advice come before this sheet."
  }
}
}
\bookpart {
  \paper {
  system-system-spacing =
    #'((basic-distance . 12.600) (minimum-distance . 8.400) (padding . 0.600) (stretchability . 8.0))
  score-system-spacing =
    #'((basic-distance . 13.200) (minimum-distance . 8.400) (padding . 0.960) (stretchability . 12.0))
  markup-system-spacing =
    #'((basic-distance . 2.400) (minimum-distance . 0) (padding . 0.960) (stretchability . 2.0))
  score-markup-spacing =
    #'((basic-distance . 7.200) (minimum-distance . 3.600) (padding . 1.440) (stretchability . 20.0))
  markup-markup-spacing =
    #'((basic-distance . 0) (minimum-distance . 0) (padding . 0.720) (stretchability . 4.0))
    page-count = 1
    ragged-last-bottom = ##f
    oddHeaderMarkup = \markup \unless \on-first-page-of-part \column { \sans \say #9 "Breakwater March · Clarinet 2 in B flat · Bar 1, the first bar of A" \vspace #0.9 }
    evenHeaderMarkup = \oddHeaderMarkup
    oddFooterMarkup = \markup \sans \ends \override #'(line-width . 79.668) \say #8.5 "" \concat {
\abs-fontsize #13 \bold "Sheet 5" \hspace #1.707 \abs-fontsize #8.5 \page-of #'last-of-5 }
    evenFooterMarkup = \oddFooterMarkup
  }
\markup \override #'(baseline-skip . 2.561) \column {
  \ends \abs-fontsize #17 \bold "Breakwater March" \abs-fontsize #13 "Clarinet 2 in B flat"
  \vspace #0.247
  \ends \override #'(line-width . 79.668) \say #11.5 "Bar 1, the first bar of A" \abs-fontsize #11.5 \concat { \fontsize #-3 \note {4} #UP \hspace #0.9 "= 96" }
  \vspace #0.076
  \draw-hline
  \vspace #0.417
  \abs-fontsize #11 \line { "Name" \draw-line #'(56.906 . 0) }
  \vspace #0.095
}
\score {
  <<
    \new Staff {
\mark \markup { \box "A" }
\clef "treble" \key ees \major \time 4/4
c''8[ d''8] ees''8[ fis''8] g''8[ aes''8] b''8[ c'''8] |
    }
    \new Lyrics \with { \underNotes \textSize #-2.000 } \lyricmode { "1"1*1/8 "2"1*1/8 "3"1*1/8 "4"1*1/8 "5"1*1/8 "6"1*1/8 "7"1*1/8 "8"1*1/8 }
  >>
  \layout {
    #(layout-set-staff-size 24.000)
  #(define fonts (set-global-fonts #:roman "Source Serif Pro" #:sans "Source Sans Pro" #:factor 1.200))
    ragged-right = ##f
    \context {
      \Staff
      \consists Bar_number_engraver
      \override BarNumber.break-visibility = ##(#f #t #t)
      \override BarNumber.font-size = #-0.5
      \override BarNumber.self-alignment-X = #beside-bar-line
      \override BarNumber.outside-staff-priority = ##f
      \override BarNumber.Y-offset = #5.760
    }
    \context {
      \Score
      barNumberVisibility = #(lambda (number position) (equal? position ZERO-MOMENT))
      barNumberFormatter = #(printed-numbers '("1" ))
    }
  }
}
\score {
  <<
    \new Lyrics \with { \overCells \textSize #-1.500 } \lyricmode { "1–2"1*1/2 "2–3"1*1/2 "3–4"1*1/2 "4–5"1*1/2 "5–6"1*1/2 "6–7"1*1/2 "7–8"1*1/2 }
    \new Staff {
\accidentalStyle default
\omit Staff.TimeSignature
\set Staff.explicitClefVisibility = #end-of-line-invisible
\set Staff.explicitKeySignatureVisibility = #end-of-line-invisible
\set Staff.printKeyCancellation = ##f
\bar ".|:"
\repeat volta 2 {
\clef "treble" \key ees \major \time 2/4
c''8 d''4. |
}
\repeat volta 2 {
d''8 ees''4. |
}
\repeat volta 2 {
ees''8 fis''4. |
}
\repeat volta 2 {
fis''8 g''4. |
}
\break
\repeat volta 2 {
g''8 aes''4. |
}
\repeat volta 2 {
aes''8 b''4. |
}
\repeat volta 2 {
b''8 c'''4. |
}
    }
  >>
  \header {
    piece = \markup \override #'(baseline-skip . 2.390) \column {
  \ends \line { \abs-fontsize #11.5 \bold "Two notes at a time" \hspace #0.569 \abs-fontsize #9.5 \sans "Five times right in a row, then one number up." } \abs-fontsize #9.5 \sans ""
  \vspace #0.114
  \concat {
    \wide #9.674 \abs-fontsize #11 \concat { \fontsize #-3 \note {4} #UP \hspace #0.910 "=" }
    \wide #9.674 \concat { \abs-fontsize #11 \sans \bold "48" \hspace #0.683 \lower #0.171 \raise #1.650 \grid #1 #1 #1.650 #1.650 }
    \wide #9.674 \concat { \abs-fontsize #11 \sans \bold "52" \hspace #0.683 \lower #0.171 \raise #1.650 \grid #1 #1 #1.650 #1.650 }
    \wide #9.674 \concat { \abs-fontsize #11 \sans \bold "58" \hspace #0.683 \lower #0.171 \raise #1.650 \grid #1 #1 #1.650 #1.650 }
    \wide #9.674 \concat { \abs-fontsize #11 \sans \bold "63" \hspace #0.683 \lower #0.171 \raise #1.650 \grid #1 #1 #1.650 #1.650 }
    \wide #9.674 \concat { \abs-fontsize #11 \sans \bold "69" \hspace #0.683 \lower #0.171 \raise #1.650 \grid #1 #1 #1.650 #1.650 }
    \wide #9.674 \concat { \abs-fontsize #11 \sans \bold "76" \hspace #0.683 \lower #0.171 \raise #1.650 \grid #1 #1 #1.650 #1.650 }
    \wide #9.674 \concat { \abs-fontsize #11 \sans \bold "88" \hspace #0.683 \lower #0.171 \raise #1.650 \grid #1 #1 #1.650 #1.650 }
    \wide #9.674 \concat { \abs-fontsize #11 \sans \bold "96" \hspace #0.683 \lower #0.171 \raise #1.650 \grid #1 #1 #1.650 #1.650 }
  }
}
  }
  \layout {
    #(layout-set-staff-size 24.000)
  #(define fonts (set-global-fonts #:roman "Source Serif Pro" #:sans "Source Sans Pro" #:factor 1.200))
    ragged-right = ##f
    \context {
      \Score
      \override NonMusicalPaperColumn.page-break-permission = ##f
    }
    \context {
      \Score
      \override NonMusicalPaperColumn.line-break-permission = ##f
    }
  }
}
\score {
  <<
    \new Lyrics \with { \overCells \textSize #-1.500 } \lyricmode { "1–3"1*1/2 "2–4"1*1/2 "3–5"1*1/2 "4–6"1*1/2 "5–7"1*1/2 "6–8"1*1/2 }
    \new Staff {
\accidentalStyle default
\omit Staff.TimeSignature
\set Staff.explicitClefVisibility = #end-of-line-invisible
\set Staff.explicitKeySignatureVisibility = #end-of-line-invisible
\set Staff.printKeyCancellation = ##f
\bar ".|:"
\repeat volta 2 {
\clef "treble" \key ees \major \time 2/4
c''8[ d''8] ees''4 |
}
\repeat volta 2 {
d''8[ ees''8] fis''4 |
}
\repeat volta 2 {
ees''8[ fis''8] g''4 |
}
\repeat volta 2 {
fis''8[ g''8] aes''4 |
}
\repeat volta 2 {
g''8[ aes''8] b''4 |
}
\repeat volta 2 {
aes''8[ b''8] c'''4 |
}
    }
  >>
  \header {
    piece = \markup \override #'(baseline-skip . 2.390) \column {
  \ends \line { \abs-fontsize #11.5 \bold "Three notes at a time" \hspace #0.569 \abs-fontsize #9.5 \sans "Five times right in a row, then one number up." } \abs-fontsize #9.5 \sans ""
  \vspace #0.114
  \concat {
    \wide #9.674 \abs-fontsize #11 \concat { \fontsize #-3 \note {4} #UP \hspace #0.910 "=" }
    \wide #9.674 \concat { \abs-fontsize #11 \sans \bold "48" \hspace #0.683 \lower #0.171 \raise #1.650 \grid #1 #1 #1.650 #1.650 }
    \wide #9.674 \concat { \abs-fontsize #11 \sans \bold "52" \hspace #0.683 \lower #0.171 \raise #1.650 \grid #1 #1 #1.650 #1.650 }
    \wide #9.674 \concat { \abs-fontsize #11 \sans \bold "58" \hspace #0.683 \lower #0.171 \raise #1.650 \grid #1 #1 #1.650 #1.650 }
    \wide #9.674 \concat { \abs-fontsize #11 \sans \bold "63" \hspace #0.683 \lower #0.171 \raise #1.650 \grid #1 #1 #1.650 #1.650 }
    \wide #9.674 \concat { \abs-fontsize #11 \sans \bold "69" \hspace #0.683 \lower #0.171 \raise #1.650 \grid #1 #1 #1.650 #1.650 }
    \wide #9.674 \concat { \abs-fontsize #11 \sans \bold "76" \hspace #0.683 \lower #0.171 \raise #1.650 \grid #1 #1 #1.650 #1.650 }
    \wide #9.674 \concat { \abs-fontsize #11 \sans \bold "88" \hspace #0.683 \lower #0.171 \raise #1.650 \grid #1 #1 #1.650 #1.650 }
    \wide #9.674 \concat { \abs-fontsize #11 \sans \bold "96" \hspace #0.683 \lower #0.171 \raise #1.650 \grid #1 #1 #1.650 #1.650 }
  }
}
  }
  \layout {
    #(layout-set-staff-size 24.000)
  #(define fonts (set-global-fonts #:roman "Source Serif Pro" #:sans "Source Sans Pro" #:factor 1.200))
    ragged-right = ##f
    \context {
      \Score
      \override NonMusicalPaperColumn.page-break-permission = ##f
    }
    \context {
      \Score
      \override NonMusicalPaperColumn.line-break-permission = ##f
    }
  }
}
\score {
  <<
    \new Staff {
\clef "treble" \key ees \major \time 4/4
c''8.[ d''16] ees''8.[ fis''16] g''8.[ aes''16] b''8.[ c'''16] |
    }
  >>
  \header {
    piece = \markup \override #'(baseline-skip . 2.390) \column {
  \ends \line { \abs-fontsize #11.5 \bold "The whole line, dotted" \hspace #0.569 \abs-fontsize #9.5 \sans "Five times right in a row, then one number up." } \abs-fontsize #9.5 \sans ""
  \vspace #0.114
  \concat {
    \wide #9.674 \abs-fontsize #11 \concat { \fontsize #-3 \note {8} #UP \hspace #0.910 "=" }
    \wide #9.674 \concat { \abs-fontsize #11 \sans \bold "48" \hspace #0.683 \lower #0.171 \raise #1.650 \grid #1 #1 #1.650 #1.650 }
    \wide #9.674 \concat { \abs-fontsize #11 \sans \bold "52" \hspace #0.683 \lower #0.171 \raise #1.650 \grid #1 #1 #1.650 #1.650 }
    \wide #9.674 \concat { \abs-fontsize #11 \sans \bold "58" \hspace #0.683 \lower #0.171 \raise #1.650 \grid #1 #1 #1.650 #1.650 }
    \wide #9.674 \concat { \abs-fontsize #11 \sans \bold "63" \hspace #0.683 \lower #0.171 \raise #1.650 \grid #1 #1 #1.650 #1.650 }
    \wide #9.674 \concat { \abs-fontsize #11 \sans \bold "69" \hspace #0.683 \lower #0.171 \raise #1.650 \grid #1 #1 #1.650 #1.650 }
    \wide #9.674 \concat { \abs-fontsize #11 \sans \bold "76" \hspace #0.683 \lower #0.171 \raise #1.650 \grid #1 #1 #1.650 #1.650 }
    \wide #9.674 \concat { \abs-fontsize #11 \sans \bold "88" \hspace #0.683 \lower #0.171 \raise #1.650 \grid #1 #1 #1.650 #1.650 }
    \wide #9.674 \concat { \abs-fontsize #11 \sans \bold "96" \hspace #0.683 \lower #0.171 \raise #1.650 \grid #1 #1 #1.650 #1.650 }
  }
}
  }
  \layout {
    #(layout-set-staff-size 24.000)
  #(define fonts (set-global-fonts #:roman "Source Serif Pro" #:sans "Source Sans Pro" #:factor 1.200))
    ragged-right = ##f
    \context {
      \Score
      \override NonMusicalPaperColumn.page-break-permission = ##f
    }
  }
}
\score {
  <<
    \new Staff {
\clef "treble" \key ees \major \time 4/4
\tuplet 3/2 { c''8[-> d''8 ees''8] } \tuplet 3/2 { fis''8[-> g''8 aes''8] } \tuplet 3/2 { b''8-> c'''4 } r4 |
    }
  >>
  \header {
    piece = \markup \override #'(baseline-skip . 2.390) \column {
  \ends \line { \abs-fontsize #11.5 \bold "The whole line, grouped in threes" \hspace #0.569 \abs-fontsize #9.5 \sans "Five times right in a row, then one number up." } \abs-fontsize #9.5 \sans ""
  \vspace #0.114
  \concat {
    \wide #9.674 \abs-fontsize #11 \concat { \fontsize #-3 \note {8} #UP \hspace #0.910 "=" }
    \wide #9.674 \concat { \abs-fontsize #11 \sans \bold "66" \hspace #0.683 \lower #0.171 \raise #1.650 \grid #1 #1 #1.650 #1.650 }
    \wide #9.674 \concat { \abs-fontsize #11 \sans \bold "72" \hspace #0.683 \lower #0.171 \raise #1.650 \grid #1 #1 #1.650 #1.650 }
    \wide #9.674 \concat { \abs-fontsize #11 \sans \bold "84" \hspace #0.683 \lower #0.171 \raise #1.650 \grid #1 #1 #1.650 #1.650 }
    \wide #9.674 \concat { \abs-fontsize #11 \sans \bold "92" \hspace #0.683 \lower #0.171 \raise #1.650 \grid #1 #1 #1.650 #1.650 }
    \wide #9.674 \concat { \abs-fontsize #11 \sans \bold "100" \hspace #0.683 \lower #0.171 \raise #1.650 \grid #1 #1 #1.650 #1.650 }
    \wide #9.674 \concat { \abs-fontsize #11 \sans \bold "108" \hspace #0.683 \lower #0.171 \raise #1.650 \grid #1 #1 #1.650 #1.650 }
    \wide #9.674 \concat { \abs-fontsize #11 \sans \bold "120" \hspace #0.683 \lower #0.171 \raise #1.650 \grid #1 #1 #1.650 #1.650 }
    \wide #9.674 \concat { \abs-fontsize #11 \sans \bold "128" \hspace #0.683 \lower #0.171 \raise #1.650 \grid #1 #1 #1.650 #1.650 }
  }
}
  }
  \layout {
    #(layout-set-staff-size 24.000)
  #(define fonts (set-global-fonts #:roman "Source Serif Pro" #:sans "Source Sans Pro" #:factor 1.200))
    ragged-right = ##f
    \context {
      \Score
      \override NonMusicalPaperColumn.page-break-permission = ##f
    }
  }
}
\markup \override #'(baseline-skip . 2.390) \column {
  \ends \line { \abs-fontsize #11.5 \bold "The line as written" \hspace #0.569 \abs-fontsize #9.5 \sans "The spot on top of the page. Five times right in a row, then one number up." } \abs-fontsize #9.5 \sans ""
  \vspace #0.114
  \concat {
    \wide #22.762 \abs-fontsize #11 \concat { \fontsize #-3 \note {4} #UP \hspace #0.910 "=" }
    \wide #9.674 \concat { \abs-fontsize #11 \sans \bold "48" \hspace #0.683 \lower #0.171 \raise #1.650 \grid #1 #1 #1.650 #1.650 }
    \wide #9.674 \concat { \abs-fontsize #11 \sans \bold "52" \hspace #0.683 \lower #0.171 \raise #1.650 \grid #1 #1 #1.650 #1.650 }
    \wide #9.674 \concat { \abs-fontsize #11 \sans \bold "58" \hspace #0.683 \lower #0.171 \raise #1.650 \grid #1 #1 #1.650 #1.650 }
    \wide #9.674 \concat { \abs-fontsize #11 \sans \bold "63" \hspace #0.683 \lower #0.171 \raise #1.650 \grid #1 #1 #1.650 #1.650 }
    \wide #9.674 \concat { \abs-fontsize #11 \sans \bold "69" \hspace #0.683 \lower #0.171 \raise #1.650 \grid #1 #1 #1.650 #1.650 }
    \wide #9.674 \concat { \abs-fontsize #11 \sans \bold "76" \hspace #0.683 \lower #0.171 \raise #1.650 \grid #1 #1 #1.650 #1.650 }
    \wide #9.674 \concat { \abs-fontsize #11 \sans \bold "88" \hspace #0.683 \lower #0.171 \raise #1.650 \grid #1 #1 #1.650 #1.650 }
    \wide #9.674 \concat { \abs-fontsize #11 \sans \bold "96" \hspace #0.683 \lower #0.171 \raise #1.650 \grid #1 #1 #1.650 #1.650 }
  }
  \concat {
    \wide #22.762 \override #'(line-width . 21.909) \sans \say #9.5 "on beats 2 and 4 only"
    \wide #9.674 \abs-fontsize #10 \sans "–"
    \wide #9.674 \abs-fontsize #10 \sans "–"
    \wide #9.674 \abs-fontsize #10 \sans "–"
    \wide #9.674 \abs-fontsize #10 \sans "32"
    \wide #9.674 \abs-fontsize #10 \sans "35"
    \wide #9.674 \abs-fontsize #10 \sans "38"
    \wide #9.674 \abs-fontsize #10 \sans "44"
    \wide #9.674 \abs-fontsize #10 \sans "48"
  }
  \concat {
    \wide #22.762 \override #'(line-width . 21.909) \sans \say #9.5 "every three eighths"
    \wide #9.674 \abs-fontsize #10 \sans "32"
    \wide #9.674 \abs-fontsize #10 \sans "35"
    \wide #9.674 \abs-fontsize #10 \sans "39"
    \wide #9.674 \abs-fontsize #10 \sans "42"
    \wide #9.674 \abs-fontsize #10 \sans "46"
    \wide #9.674 \abs-fontsize #10 \sans "51"
    \wide #9.674 \abs-fontsize #10 \sans "59"
    \wide #9.674 \abs-fontsize #10 \sans "64"
  }
}
  %% The foot never stands alone on a page.
  \noPageBreak
  \label #'last-of-5
\markup \override #'(baseline-skip . 2.219) \column {
  \vspace #0.379
  \abs-fontsize #11 \line { "Teacher" \draw-line #'(91.049 . 0) }
  \vspace #0.171
  \override #'(baseline-skip . 1.764) \column {
    \sans \say #8 "Repeat slowly and correctly: what is repeated wrong is learned wrong."
    \sans \say #8 "Rest often, stop at pain, and keep the level in headphones low. Your teacher's and your doctor's advice come before this sheet."
  }
}
}
