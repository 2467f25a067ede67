"""The booklet on pages: type set line by line, pieces flowed over pages, figures drawn."""
