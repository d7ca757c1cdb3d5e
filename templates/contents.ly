<%# The contents page of a book of sheets. %>
<% include "page.ly" %>

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
  \bold \say #20 <%= title %>

<% if first_rehearsal %>
  \vspace #0.3
  \abs-fontsize #12 \line { "First rehearsal:" <%= first_rehearsal %> }
<% endif %>
  \vspace #0.6
  \draw-hline
}
<% for entry in entries %>
\markup \concat {
  \wide #<%= mm(12.0) %> \abs-fontsize #12 \bold "<%= entry.number %>"
  \wide #<%= mm(150.0) %> \override #'(line-width . <%= mm(146.0) %>) \override #'(baseline-skip . 2.6) \column {
    \bold \say #12 <%= entry.piece %>

    \say #11 <%= entry.part %>

    \say #11 <%= entry.words %>

<% if entry.note %>
    \italic \say #11 <%= entry.note %>

<% endif %>
  }
  \abs-fontsize #11 "page <%= entry.page %>"

}
<% endfor %>
}
