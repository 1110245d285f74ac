web-capture-mended-here = Cambiado en la página
