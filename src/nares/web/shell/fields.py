"""Form fields as every page draws them."""

from django import forms

REASON_LONGEST = 500


class Form(forms.Form):
    """A form whose faulty fields are marked for a screen reader too."""

    error_css_class = "faulty"
