<%# The least and the usual room between what stands on a page, for a staff of some size. %>
<% macro gaps(size) %>
  system-system-spacing =
    #'((basic-distance . <%= 10.5 * size %>) (minimum-distance . <%= 7.0 * size %>) (padding . <%= 0.5 * size %>) (stretchability . 8.0))
  score-system-spacing =
    #'((basic-distance . <%= 11.0 * size %>) (minimum-distance . <%= 7.0 * size %>) (padding . <%= 0.8 * size %>) (stretchability . 12.0))
  markup-system-spacing =
    #'((basic-distance . <%= 2.0 * size %>) (minimum-distance . 0) (padding . <%= 0.8 * size %>) (stretchability . 2.0))
  score-markup-spacing =
    #'((basic-distance . <%= 6.0 * size %>) (minimum-distance . <%= 3.0 * size %>) (padding . <%= 1.2 * size %>) (stretchability . 20.0))
  markup-markup-spacing =
    #'((basic-distance . 0) (minimum-distance . 0) (padding . <%= 0.6 * size %>) (stretchability . 4.0))
<%- endmacro %>

<%# The text faces for a staff of some size; another size would bring its default ones. %>
<% macro faces(size) %>
  #(define fonts (set-global-fonts #:roman "Source Serif Pro" #:sans "Source Sans Pro" #:factor <%= size / 20 %>))
<%- endmacro %>
