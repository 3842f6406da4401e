"""Form fields as every page draws them."""

from django import forms

REASON_LONGEST = 500


class Form(forms.Form):
    """A form whose faulty fields are marked for a screen reader too."""

    error_css_class = "faulty"

    @property
    def said_wrong(self) -> str:
        """Every fault in one sentence each."""
        return " ".join(
            f"{self.fields[name].label or name}: {' '.join(map(str, faults))}"
            if name in self.fields
            else " ".join(map(str, faults))
            for name, faults in self.errors.items()
        )
