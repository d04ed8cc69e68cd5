// The log-in sheet: what is typed can be shown, since in the garden thumbs miss.
const password = document.getElementById("password");
document.getElementById("show").addEventListener("change", (event) => {
  password.type = event.target.checked ? "text" : "password";
  password.focus();
});
