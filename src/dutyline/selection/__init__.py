"""Search over a product line: candidates, order, rejections, remedies."""
