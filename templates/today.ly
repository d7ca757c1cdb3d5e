<%# The list of one session: what to play, boxes to tick, room for numbers. %>
<% include "page.ly" %>

\bookpart {
  \paper {
    oddHeaderMarkup = \markup \null
    evenHeaderMarkup = \markup \null
    oddFooterMarkup = \markup \null
    evenFooterMarkup = \markup \null
    markup-markup-spacing =
      #'((basic-distance . 2) (minimum-distance . 1) (padding . <%= gap %>) (stretchability . 0))
  }
\markup \column {
  \bold \say #16 <%= title %>

  \say #11 <%= about %>

  \vspace #0.3
  \draw-hline
}
<% for row in rows %>
<% if row.rest %>
\markup \concat {
  \wide #<%= mm(12.0) %> "" \italic \say #<%= size %> <%= row.rest %>

}
<% else %>
\markup \concat {
  \wide #<%= mm(9.0) %> \say #<%= size %> <%= row.number %>

  \wide #<%= mm(8.0) %> \box \pad-around #0.5 \hspace #0.6
  \wide #<%= mm(96.0) %> \say #<%= size %> <%= row.what %>

  \wide #<%= mm(14.0) %> \say #<%= size %> <%= row.minutes %>

  \wide #<%= mm(26.0) %> \say #<%= size %> <%= row.numbers %>

  \override #'(thickness . 1) \draw-line #(cons <%= mm(18.0) %> 0)
}
<% endif %>
<% endfor %>
\markup \column {
  \vspace #0.4
  \draw-hline
<% for caution in cautions %>
  \say #9 <%= caution %>

<% endfor %>
}
}
