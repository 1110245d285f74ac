web-capture-mended-here = Changed on the page
