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
\bookpart {
  \paper {
    oddHeaderMarkup = \markup \null
    evenHeaderMarkup = \markup \null
    oddFooterMarkup = \markup \null
    evenFooterMarkup = \markup \null
    markup-markup-spacing =
      #'((basic-distance . 4) (minimum-distance . 3) (padding . 1.6) (stretchability . 0))
  }
\markup \column {
  \bold \say #20 "Spring concert"
  \vspace #0.3
  \abs-fontsize #12 \line { "First rehearsal:" "Monday, 1 March 2027" }
  \vspace #0.6
  \draw-hline
}
\markup \concat {
  \wide #6.829 \abs-fontsize #12 \bold "1"
  \wide #85.358 \override #'(line-width . 83.082) \override #'(baseline-skip . 2.6) \column {
    \bold \say #12 "Breakwater March"
    \say #11 "Clarinet 2"
    \say #11 "Bar 33"
  }
  \abs-fontsize #11 "page 1"
}
\markup \concat {
  \wide #6.829 \abs-fontsize #12 \bold "2"
  \wide #85.358 \override #'(line-width . 83.082) \override #'(baseline-skip . 2.6) \column {
    \bold \say #12 "Breakwater March"
    \say #11 "Alto saxophone"
    \say #11 "Bar 12"
    \italic \say #11 "the \"B flat\" key"
  }
  \abs-fontsize #11 "page 2"
}
}
